// What is left on this device: what waits or was not taken, and how far its clock is off.

import { counts, forget, problems } from "./queue.js";
import { lastClock } from "./sender.js";
import { made, when, word } from "./words.js";

export const MUCH_OFF_S = 120;
const MOST_LINES = 60;
const SHOW_MS = 1000;

let showing = null;

/** Show it from now on; `zoneOf` resolves with the kitchen's time zone. */
export function showLeft(zoneOf) {
  const show = () => showQueue(zoneOf);
  addEventListener("lidclock:queue", show);
  addEventListener("lidclock:clock", (event) => showClock(event.detail));
  addEventListener("lidclock:stopped", (event) => showStopped(event.detail));
  new BroadcastChannel("lidclock-queue").onmessage = show;
  showClock(lastClock());
  showQueueNow(zoneOf);
}

/** Show what waits, a second later: what is sent at once is not worth a word. */
function showQueue(zoneOf) {
  showing ??= new Promise((resolve) => setTimeout(resolve, SHOW_MS))
    .then(() => { showing = null; return showQueueNow(zoneOf); });
}

async function showQueueNow(zoneOf) {
  const { waiting, problems: wrong } = await counts();
  document.getElementById("queue").hidden = !(waiting + wrong);
  document.getElementById("waiting").textContent = waiting ? word("waiting", { n: waiting }) : word("sent");
  const zone = await zoneOf();
  const items = (await problems(MOST_LINES)).map((event) => problem(event, zone));
  if (wrong > items.length) items.push(made("li", { textContent: word("more", { n: wrong - items.length }) }));
  const list = document.getElementById("problems");
  const at = [...list.querySelectorAll("button")].indexOf(document.activeElement);
  list.replaceChildren(...items);
  list.querySelectorAll("button")[at]?.focus();
}

/** What the kitchen did not take, or what contradicts: kept until somebody saw to it. */
function problem(event, zone) {
  const item = made("li");
  const what = `${event.what}, ${when(event.happened_at, zone)}`;
  item.textContent = word(event.state, { what, says: event.says.replace(/\.$/, "") });
  const seen = made("button", { type: "button", className: "other", textContent: word("seen") });
  seen.addEventListener("click", () => {
    item.remove();
    // Who goes by keyboard goes on to the next one.
    (document.querySelector("#problems button") ?? document.getElementById("main")).focus();
    forget([event.seq]);
  });
  item.append(" ", seen);
  return item;
}

function showClock(seconds) {
  const told = document.getElementById("clock");
  told.hidden = Math.abs(seconds) <= MUCH_OFF_S;
  const minutes = Math.round(Math.abs(seconds) / 60);
  if (!told.hidden) told.textContent = word(seconds > 0 ? "ahead" : "behind", { n: minutes });
}

function showStopped(why) {
  if (why) document.getElementById("waiting").textContent = word("stopped", { why });
}
