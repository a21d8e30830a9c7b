// Tells of new alerts on this device, as long as a page of the kitchen is open on it.
//
// The words are those of the page of alerts, in its language. Nothing is sent through
// anybody else: the browser shows what this page found out by asking.

import { pageOf } from "./words.js";

const ON = "lidclock-tell";
const TOLD = "lidclock-told";
const PAGE = "/alerts";
const EVERY_MS = 60_000;
const PATIENCE_MS = 15_000;
const MOST = 4;

export function begin() {
  const field = document.querySelector(".tell input");
  if (field !== null) offer(field);
  document.addEventListener("lidclock:changed", look);
  document.addEventListener("visibilitychange", look);
  setInterval(look, EVERY_MS);
  look();
}

/** Whether this browser can: it needs an address it trusts, and some an installed page. */
function can() {
  return "Notification" in window && "serviceWorker" in navigator && "locks" in navigator;
}

function isOn() {
  return can() && localStorage.getItem(ON) === "yes" && Notification.permission === "granted";
}

function offer(field) {
  say(can() ? "can-tell" : "cannot-tell", true);
  if (!can()) return;
  field.checked = isOn();
  say("tell-refused", Notification.permission === "denied");
  field.addEventListener("change", () => change(field));
}

// On the root, which no answer of the kitchen puts anew.
function say(name, isSo) {
  document.documentElement.classList.toggle(name, isSo);
}

async function change(field) {
  if (!field.checked) {
    localStorage.removeItem(ON);
    return;
  }
  const permission = await Notification.requestPermission();
  field.checked = permission === "granted";
  say("tell-refused", permission === "denied");
  if (!field.checked) return;
  // What stands on the page now is seen: only what comes from now on is told.
  keep([...document.querySelectorAll("li[data-alert]")].map((item) => item.dataset.alert));
  localStorage.setItem(ON, "yes");
}

function keep(keys) {
  localStorage.setItem(TOLD, JSON.stringify(keys));
}

/** Ask what needs somebody, and tell what was not told yet; one page at a time does. */
async function look() {
  if (!isOn()) return;
  await navigator.locks.request(ON, async () => {
    const page = await asked();
    if (page === null || !isOn()) return;
    const items = [...page.querySelectorAll("li[data-alert]")];
    const told = new Set(JSON.parse(localStorage.getItem(TOLD) ?? "[]"));
    // Where none can be set up there would be no end to waiting.
    const late = new Promise((resolve) => setTimeout(resolve, PATIENCE_MS));
    const registration = await Promise.race([navigator.serviceWorker.ready, late]);
    if (!registration) return;
    const fresh = items.filter((item) => !told.has(item.dataset.alert));
    for (const item of fresh.slice(0, MOST)) await show(registration, page, item);
    if (fresh.length > MOST) await rest(registration, page, fresh.length - MOST);
    // What was answered or is over is told again if it comes back.
    keep(items.map((item) => item.dataset.alert));
    await tidy(registration, items);
  });
}

/** The page of alerts as it is now; nothing where it is not to be had. */
async function asked() {
  try {
    const answer = await fetch(PAGE, { headers: { Accept: "text/html" }, cache: "no-store", signal: AbortSignal.timeout(PATIENCE_MS) });
    if (!answer.ok || answer.redirected) return null;
    return await pageOf(answer);
  } catch {
    return null; // no connection: the next time may be better
  }
}

function show(registration, page, item) {
  const [what, says] = [...item.querySelectorAll("p")].map(words);
  const path = item.querySelector("a")?.getAttribute("href") ?? PAGE;
  return registration.showNotification(what, { ...looks(page), body: says, tag: item.dataset.alert, data: { path } });
}

function rest(registration, page, count) {
  const title = `${words(page.querySelector("h1"))}: +${count}`;
  return registration.showNotification(title, { ...looks(page), tag: PAGE, data: { path: PAGE } });
}

function looks(page) {
  const { lang, dir } = page.documentElement;
  return { lang, dir, icon: "/static/icon.svg" };
}

function words(element) {
  return element.textContent.replace(/\s+/g, " ").trim();
}

/** Take away what tells of something that needs nobody any more. */
async function tidy(registration, items) {
  const standing = new Set(items.map((item) => item.dataset.alert));
  for (const one of await registration.getNotifications()) {
    if (one.tag !== PAGE && !standing.has(one.tag)) one.close();
  }
}
