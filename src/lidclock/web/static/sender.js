// When to send what waits: at once, when the page opens, when the signal comes back, and
// every half minute, less often while it fails. The worker does it too where it can.

import { counts, send } from "./queue.js";

const EVERY_MS = 30000;
const LONGEST_MS = 600000;
const LATE_MS = 1500;
const CLOCK = "lidclock clock off"; // where the last word on this device's clock is kept

let wait = EVERY_MS;
let timer = 0;

/** Begin sending; from then on this page sends whenever there is a chance. */
export function beginSending() {
  addEventListener("online", trySoon);
  addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") trySoon(); });
  trySoon();
}

function trySoon() {
  wait = EVERY_MS;
  sendNow();
}

/** Send, and come back to it, less often where its own tries fail; resolves with the
 * answers by id, none where it failed. */
export async function sendNow(isOwn = false) {
  clearTimeout(timer);
  // The page may be closed before a weak signal has given up.
  const late = setTimeout(wakeLater, LATE_MS);
  try {
    const { answers, clockOff } = await send();
    if (clockOff !== null) tellClock(clockOff);
    tellStopped("");
    wait = EVERY_MS;
    return answers;
  } catch (error) {
    if (isOwn) wait = Math.min(wait * 2, LONGEST_MS);
    // Only an answer is worth a word: no signal is usual.
    tellStopped(error.status ? String(error.status) : "");
    wakeLater();
    return new Map();
  } finally {
    clearTimeout(late);
    // Not all at the same moment, after a power cut say.
    clearTimeout(timer);
    timer = setTimeout(sendNow, wait * (0.8 + 0.4 * Math.random()), true);
  }
}

/** Ask the browser to wake the worker (Background Sync), where it can. */
async function wakeLater() {
  try {
    const registration = await navigator.serviceWorker?.getRegistration();
    if (registration?.sync && (await counts()).waiting) await registration.sync.register("lidclock-send");
  } catch {
    // Not allowed, or not there: the page sends when it is open.
  }
}

function tellStopped(why) {
  dispatchEvent(new CustomEvent("lidclock:stopped", { detail: why }));
}

/** Remember and tell how many seconds this device's clock is ahead. */
export function tellClock(seconds) {
  localStorage.setItem(CLOCK, String(seconds));
  dispatchEvent(new CustomEvent("lidclock:clock", { detail: seconds }));
}

/** How far ahead it was when the kitchen last answered, in seconds. */
export function lastClock() {
  return Number(localStorage.getItem(CLOCK)) || 0;
}
