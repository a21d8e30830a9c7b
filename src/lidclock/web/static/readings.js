// Temperatures that hands type, of a place or of what cools: kept first, then sent. So none
// is lost without a signal, and none counts twice.

import { MUCH_OFF_S, showLeft } from "./left.js";
import { clockOff, eventOf, keep } from "./queue.js";
import { sendNow, tellClock } from "./sender.js";
import { uuid7 } from "./uuid.js";
import { when, word } from "./words.js";

const POWER_ON_C = 85; // what a common sensor says when it was just switched on
const WARMER_C = 1; // twice the noise of a probe, as the kitchen asks too

const page = document.querySelector("[data-page=readings]");
const { zone, units } = page.dataset;
const isUs = units === "us";
let off = 0; // seconds by which this device is ahead, as far as the kitchen told

export function begin() {
  page.addEventListener("submit", onSubmit);
  addEventListener("online", checkClock);
  showLeft(async () => zone);
  checkClock();
}

async function checkClock() {
  const told = document.getElementById("stale");
  try {
    off = await clockOff();
    tellClock(off);
    told.hidden = true;
  } catch (error) {
    told.hidden = Boolean(error.status);
    told.textContent = word("stale", { when: when(page.dataset.now, zone) });
  }
}

function onSubmit(event) {
  const form = event.target.closest("form[data-reading]");
  if (!form) return;
  event.preventDefault();
  record(form).catch(() => say(form, word("full")));
}

async function record(form) {
  const shown = degreesIn(form.temp.value);
  if (shown === null) return say(form, word("notemp"));
  const at = momentIn(form.at.value);
  if (at === null) return say(form, word("notime"));
  const place = form.dataset.subject.startsWith("place/");
  const tempC = celsius(shown, place ? 2 : 1);
  const temp = together(`${inLanguage(shown)} ${isUs ? "°F" : "°C"}`);
  const odd = place ? isUnusual(form.dataset, tempC) : tempC > Number(form.dataset.last ?? Infinity) + WARMER_C;
  if (odd && form.dataset.doubted !== `${tempC}`) {
    form.dataset.doubted = `${tempC}`;
    return say(form, word(place ? "odd" : "warmer", { temp }));
  }
  const body = place ? { temp_c: tempC, ...(odd && { anyway: true }) } : { phase: "read", temp_c: tempC };
  if (form.dataset.keeping) return; // tapped twice
  form.dataset.keeping = "yes";
  const id = uuid7();
  await keep([{
    id, body,
    kind: place ? "measured" : "cooled",
    subject: form.dataset.subject,
    happened_at: new Date(at).toISOString(),
    what: `${form.dataset.what} ${temp}`,
  }]).finally(() => delete form.dataset.keeping);
  delete form.dataset.doubted;
  form.reset();
  say(form, word("sending"));
  await sent(form, id, isBeyond(form.dataset, tempC), temp, at);
}

async function sent(form, id, beyond, temp, at) {
  const answer = (await sendNow()).get(id);
  const left = await eventOf(id);
  if (left?.state === "waiting") {
    const warns = beyond ? ` ${word("beyond", { temp })}` : "";
    return say(form, `${temp}: ${word("kept")}.${warns}`);
  }
  if (left) return say(form, left.says);
  say(form, answer?.says ?? word("recorded"));
  if ([...page.querySelectorAll("input")].some((field) => field.value !== field.defaultValue)) return;
  const { subject } = form.dataset;
  if (!subject.startsWith("place/")) return location.assign(`/cooling?did=${id}`);
  const name = encodeURIComponent(subject.slice("place/".length));
  // To the second, as the kitchen keeps it.
  const moment = encodeURIComponent(new Date(Math.floor(at / 1000) * 1000).toISOString());
  return location.assign(beyond ? `/temperatures/place?name=${name}&at=${moment}` : `/temperatures?did=${name}&at=${moment}`);
}

function say(form, words) {
  const told = form.querySelector(".answer");
  told.hidden = false;
  told.textContent = words;
}

/** The number that was typed, by whichever keyboard; null for none. */
function degreesIn(text) {
  const digits = text.normalize("NFKC").replace(/[٠-٩]/g, (digit) => digit.charCodeAt(0) - 0x660);
  const plain = digits.trim().replace(/[,٫]/, ".").replace("−", "-");
  return /^[-+]?\d+(\.\d+)?$/.test(plain) ? Number(plain) : null;
}

/** With the language's sign before its decimals, in the digits that labels have. */
function inLanguage(number) {
  return number.toLocaleString(document.documentElement.lang, { numberingSystem: "latn", maximumFractionDigits: 4 });
}

/** Held together in text that runs from right to left: Unicode UAX 9, 2.4. */
function together(text) {
  return document.documentElement.dir === "rtl" ? `\u2066${text}\u2069` : text;
}

/** With as many decimals as the kitchen keeps of what is typed there. */
function celsius(shown, places) {
  const exact = isUs ? (shown - 32) / 1.8 : shown;
  return isUs || places === 1 ? Number(exact.toFixed(places)) : exact;
}

function isUnusual({ low, high, state }, tempC) {
  return tempC < Number(low) || tempC > Number(high) || (tempC === POWER_ON_C && state !== "hot");
}

function isBeyond({ limit, floor }, tempC) {
  if (limit === undefined) return false;
  return floor === undefined ? tempC > Number(limit) : tempC < Number(limit);
}

/** The instant of a local day and hour in the kitchen's zone; now where there is none,
 * null for one to come or one that no clock showed. Of two the earlier. */
function momentIn(text) {
  const now = Date.now() - (Math.abs(off) > MUCH_OFF_S ? off * 1000 : 0);
  if (!text) return now;
  const wall = Date.parse(`${text}Z`);
  const fitting = [-86400000, 86400000]
    .map((day) => wall - offsetAt(wall + day))
    .filter((at) => at + offsetAt(at) === wall);
  const at = Math.min(...fitting);
  return at <= now ? at : null;
}

/** How far the kitchen's clocks are ahead of UTC at an instant, in milliseconds. */
function offsetAt(instant) {
  const shape = { hourCycle: "h23", year: "numeric", month: "numeric", day: "numeric", hour: "numeric", minute: "numeric", second: "numeric" };
  const parts = new Intl.DateTimeFormat("en-US", { ...shape, timeZone: zone }).formatToParts(new Date(instant));
  const { year, month, day, hour, minute, second } = Object.fromEntries(parts.map(({ type, value }) => [type, Number(value)]));
  return Date.UTC(year, month - 1, day, hour, minute, second) - Math.floor(instant / 1000) * 1000;
}
