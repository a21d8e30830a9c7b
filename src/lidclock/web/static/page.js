import { counts } from "./queue.js";
import { beginSending } from "./sender.js";
import { STASH, listen } from "./wedge.js";

const parts = []; // what begins on this page; when all have, it says so
const counters = document.querySelectorAll("[data-stepper]");
if (counters.length) parts.push(import("./stepper.js").then((m) => counters.forEach(m.addSteps)));
const PAGES = { scan: "./scan.js", "stock-take": "./stock-take.js", prep: "./prep.js", readings: "./readings.js" };

const part = document.querySelector("[data-page]")?.dataset.page;
const loading = part in PAGES ? import(PAGES[part]) : null;
// At once, so that a lid is heard that is scanned while the rest is loading. A display only
// shows.
if (!document.body.matches(".kiosk")) listen(async (line) => ((await loading)?.hear ?? elsewhere)(line));
parts.push(loading?.then((page) => page.begin?.()));

// A worker needs a trusted address; without one the page works as long as it is open.
navigator.serviceWorker?.register("/worker.js").catch(() => {});
beginSending();
addEventListener("lidclock:queue", count);
new BroadcastChannel("lidclock-queue").onmessage = count;
count();

/** A lid that is scanned on another page is looked up on the scan page. */
function elsewhere(line) {
  sessionStorage.setItem(STASH, line);
  location.assign("/scan");
}

/** How much waits, or wants to be seen to, beside the way to the scan page. */
async function count() {
  const link = document.querySelector('nav a[href="/scan"]');
  if (!link) return;
  const { waiting, problems } = await counts();
  link.querySelector(".kept")?.remove();
  const number = waiting + problems;
  if (number) link.append(Object.assign(document.createElement("span"), { className: "kept", textContent: ` (${number})` }));
}

// The latest time that a page allows is when it was made, hours ago maybe.
addEventListener("focusin", ({ target }) => { if (target.type === "datetime-local") target.removeAttribute("max"); });

if (document.querySelector("[data-live]")) {
  parts.push(import("./live.js").then((live) => live.start()));
}

// Where somebody wants to be told of alerts, or may say so.
if (localStorage.getItem("lidclock-tell") !== null || document.querySelector(".tell")) {
  parts.push(import("./tell.js").then((tell) => tell.begin()));
}

Promise.all(parts).then(() => { document.documentElement.dataset.ready = ""; });
