// What is left on this device: what waits to be sent, what the kitchen did not take, and
// how far the device's clock is off.

import { forget, kept } from "./queue.js";
import { lastClock } from "./sender.js";
import { when, word } from "./words.js";

export const MUCH_OFF_S = 120;

/** Show it from now on; `zoneOf` resolves with the kitchen's time zone. */
export function showLeft(zoneOf) {
  const show = () => showQueue(zoneOf);
  addEventListener("lidclock:queue", show);
  addEventListener("lidclock:clock", (event) => showClock(event.detail));
  addEventListener("lidclock:stopped", (event) => showStopped(event.detail));
  new BroadcastChannel("lidclock-queue").onmessage = show;
  showClock(lastClock());
  show();
}

async function showQueue(zoneOf) {
  const events = await kept();
  const waiting = events.filter((event) => event.state === "waiting");
  const problems = events.filter((event) => event.state !== "waiting");
  document.getElementById("queue").hidden = !events.length;
  document.getElementById("waiting").textContent = waiting.length ? word("waiting", { n: waiting.length }) : word("sent");
  const zone = await zoneOf();
  document.getElementById("problems").replaceChildren(...problems.map((event) => problem(event, zone)));
}

/** What the kitchen did not take, or what contradicts: kept until somebody saw to it. */
function problem(event, zone) {
  const item = document.createElement("li");
  const what = `${event.what}, ${when(event.happened_at, zone)}`;
  item.textContent = word(event.state, { what, says: event.says.replace(/\.$/, "") });
  const seen = Object.assign(document.createElement("button"), { type: "button", className: "other", textContent: word("seen") });
  seen.addEventListener("click", () => forget([event.seq]));
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
