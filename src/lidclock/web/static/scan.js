// The scan page: what was chosen happens to each lid, however the lid comes in.
//
// An event is made and kept here, and only then shown and sent. With a signal the kitchen
// says first what the line means, and asks back what is odd; without, the device what it knew.

import { actionOf, codeOf, keyboard, learnKeyboard, meaning, shelf, undone } from "./known.js";
import { showLeft } from "./left.js";
import { fromPhoto, offerCamera } from "./pictures.js";
import { eventOf, keep, waitingOf } from "./queue.js";
import { sendNow, tellClock } from "./sender.js";
import { sound } from "./sound.js";
import { uuid7 } from "./uuid.js";
import { STASH } from "./wedge.js";
import { made, spaced, when, word } from "./words.js";

const SEND_MS = 3000; // a lid is not held up longer by a slow signal
const ALONE_MS = 15000; // after a question without an answer none is asked for so long
const TWICE_MS = 800; // read twice by a scanner, a lid is no answer to a question
const MOST_LINES = 60;
const BATCH = "lidclock batch";

const form = document.getElementById("scan");
let doubted = ""; // the lid that was asked about: scanned again, it is so
let askedAt = -TWICE_MS;
let knowing = null; // the lids as last seen, as soon as they are there
let aloneUntil = 0;
let queued = Promise.resolve(); // one line after another, in the order scanned
// What one undo takes back; it survives a reload.
let batch = JSON.parse(sessionStorage.getItem(BATCH) ?? '{"action": "", "events": []}');

export function begin() {
  form.addEventListener("submit", onSubmit);
  form.addEventListener("change", onChange);
  document.getElementById("insecure").hidden = isSecureContext;
  offerCamera(seen, refused);
  navigator.storage?.persist?.();
  knowing = shelf();
  showLeft(async () => (await knowing)?.kitchen.zone);
  addEventListener("online", () => { aloneUntil = 0; });
  const stashed = sessionStorage.getItem(STASH) ?? decodeURIComponent(location.hash.replace("#main", "").slice(1));
  sessionStorage.removeItem(STASH);
  if (stashed) hear(stashed);
}

/** Hear one line; the next waits until this one is kept. What a camera saw, no keyboard
 * has changed. */
export function hear(line, { isTyped = true } = {}) {
  const at = performance.now();
  queued = queued.then(() => heard(line, isTyped, at)).catch(() => answer("bad", word("full")));
  return queued;
}

const seen = (line) => hear(line, { isTyped: false });

async function heard(line, isTyped, at) {
  if (at - askedAt < TWICE_MS) doubted = "";
  const told = await check(line, isTyped);
  if (!told) return heardAlone(isTyped ? undone(line) : line);
  if (told.kind === "keyboard") {
    learnKeyboard(line, told.table);
    return answer("good", told.says);
  }
  if (told.kind === "action") return acted(told.action);
  if (told.kind !== "lid") return refused(told.says ?? told.error ?? word("unread"));
  if (told.is_odd) return asked(told.code, told.says);
  doubted = "";
  if (!choice().kind) return answer("good", told.says, told.code);
  // The kitchen's time, since it is there: this device's clock may be off.
  return record(told.code, told.now, told.says);
}

/** What a line means to the kitchen; null where it cannot be asked. */
async function check(line, isTyped) {
  // A weak signal would hold up every lid for as long as the first.
  if (performance.now() < aloneUntil) return null;
  const told = await question(line, isTyped);
  aloneUntil = told ? 0 : performance.now() + ALONE_MS;
  return told;
}

async function question(line, isTyped) {
  const said = {
    line,
    action: choice().action,
    reason: choice().reason,
    keyboard: isTyped ? keyboard().typed : "",
    doubted,
  };
  try {
    const told = await meaning(said);
    if (told.now) tellClock((Date.now() - Date.parse(told.now)) / 1000);
    return told;
  } catch {
    return null;
  }
}

async function heardAlone(line) {
  const action = actionOf(line);
  const code = codeOf(line);
  if (!code) {
    const isAction = ["UNDO", "DONE"].includes(action) || radio(action);
    return isAction ? acted(action === "DONE" ? "LOOK" : action) : refused(word("unread"));
  }
  const known = await knowing;
  const row = known?.containers.find((one) => one.code === code);
  const says = row ? await remembered(row, known) : `${spaced(code)}: ${word("unseen")}`;
  if (!choice().kind) return answer("good", says, code);
  if (isOver(row) && doubted !== code) return asked(code, `${says}. ${word("odd")}`);
  doubted = "";
  return record(code, new Date().toISOString(), says, { isAlone: true });
}

function isOver(row) {
  const { kind, state } = choice();
  const revives = ["used", "opened"].includes(kind) || state === "freezer";
  return revives && Boolean(row?.last_moment) && Date.parse(row.last_moment) <= Date.now();
}

/** What this device knew of a lid, and recorded of it since. */
async function remembered(row, known) {
  const { code } = row;
  const box = (row.of ?? 1) > 1 ? ` ${row.index}/${row.of}` : "";
  const stands = [row.word, row.note].filter(Boolean).join(", ");
  const since = word("since", { when: when(known.now, known.kitchen.zone) });
  const own = await waitingOf(code);
  const meanwhile = own.length ? `; ${word("own", { what: own.map((event) => event.what).join(", ") })}` : "";
  return `${spaced(code)} ${row.food}${box}: ${stands}, ${row.place} (${since})${meanwhile}`;
}

function acted(action) {
  doubted = "";
  if (action === "UNDO") return undo();
  const chosen = radio(action);
  if (!chosen) return refused(word("unread"));
  chosen.checked = true;
  return announceChoice();
}

function announceChoice() {
  doubted = "";
  const { kind, label } = choice();
  answer("good", kind ? word("chosen", { action: label }) : word("looking"));
}

async function record(code, at, says, { isAlone = false } = {}) {
  const { action, kind, place, state, reason, label } = choice();
  const body = kind === "placed" ? { place, state } : kind === "discarded" ? { reason } : {};
  const event = { id: uuid7(), kind, subject: code, happened_at: at, body };
  await keep([{ ...event, what: `${spaced(code)} ${label}` }]);
  if (batch.action !== action) batch = { action, events: [] };
  batch.events.push({ id: event.id, subject: code });
  rememberBatch();
  const line = answer("good", says, code);
  line.id = event.id;
  mark(line, isAlone ? "kept" : "sending");
  const arriving = sent([event.id], line);
  if (!isAlone) await arriving;
}

/** Take back the whole batch: each of its events is voided by a further one. */
async function undo() {
  if (!batch.events.length) return refused(word("nothing"));
  const at = new Date().toISOString();
  const what = (subject) => `${spaced(subject)} ${document.getElementById("undo").textContent}`;
  const voids = batch.events.toReversed().map(({ id, subject }) => ({
    id: uuid7(), kind: "corrected", subject, happened_at: at, body: { event: id, void: true }, what: what(subject),
  }));
  await keep(voids);
  for (const { id } of batch.events) {
    const line = document.getElementById(id);
    if (!line) continue;
    mark(line, "void");
    line.className = "void";
  }
  batch.events = [];
  rememberBatch();
  const line = answer("good", word("undone", { n: voids.length }));
  mark(line, "sending");
  await sent(voids.map((event) => event.id), line);
}

async function sent(ids, line) {
  const arriving = sendNow().then(async () => {
    // Another tab or the worker may have sent it: what is left here tells.
    const left = (await Promise.all(ids.map(eventOf))).filter(Boolean);
    if (left.some((one) => one.state === "waiting")) return mark(line, "kept");
    const [bad] = left;
    if (bad) sound("odd");
    mark(line, "recorded", bad?.says);
    if (bad) document.getElementById("answer").textContent = bad.says;
  });
  await Promise.race([arriving, new Promise((resolve) => setTimeout(resolve, SEND_MS))]);
}

function rememberBatch() {
  sessionStorage.setItem(BATCH, JSON.stringify(batch));
}

function asked(code, says) {
  doubted = code;
  askedAt = performance.now();
  return answer("odd", `? ${says}`, code);
}

function refused(says) {
  doubted = "";
  return answer("bad", `! ${says}`);
}

/** Text, beep and buzz; the line joins those below and is returned. */
function answer(kind, says, code = "") {
  sound(kind);
  const spoken = document.getElementById("answer");
  spoken.textContent = says;
  spoken.dataset.kind = kind;
  const line = made("li");
  line.append(made(code ? "a" : "span", { textContent: says, dir: "auto", ...(code && { href: `/c/${code}` }) }));
  const lines = document.getElementById("lines");
  lines.prepend(line);
  while (lines.children.length > MOST_LINES) lines.lastChild.remove();
  return line;
}

function mark(line, name, says = "") {
  if (line.matches(".void")) return; // taken back meanwhile
  line.querySelector(".state")?.remove();
  const text = says || word(name);
  line.append(made("span", { className: "state", textContent: ` · ${text}` }));
}

function radio(action) {
  return [...form.querySelectorAll("[name=action]")].find((one) => one.value === action);
}

function choice() {
  const chosen = form.querySelector("[name=action]:checked");
  return { ...chosen.dataset, action: chosen.value, label: chosen.parentElement.textContent.trim(), reason: form.reason.value };
}

function onChange(event) {
  if (event.target.name === "action") announceChoice();
  if (event.target.name === "photo") fromPhoto(event.target, seen, refused);
}

function onSubmit(event) {
  event.preventDefault();
  if (event.submitter?.id === "undo") {
    queued = queued.then(undo).catch(() => answer("bad", word("full")));
    return;
  }
  const line = form.line.value;
  form.line.value = "";
  if (line.trim()) hear(line);
}
