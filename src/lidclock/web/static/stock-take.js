// A recount: each lid goes to the kitchen at once, or waits on this device for a signal.
//
// The answer is the page itself, in its language; what changed of it is put in place. A
// lid that is sent twice does no harm, so whatever may not have arrived is sent again.

import { look } from "./camera.js";
import { keyboard } from "./known.js";
import { sound } from "./sound.js";
import { word } from "./words.js";

const AGAIN_MS = 5000;
const MOST_AT_ONCE = 50;
const form = document.getElementById("count");
const KEPT = `lidclock count ${form.elements.place.value}`;
// What the kitchen says anew with every page.
const PARTS = ["seen", "so-far", "count-id"];

let waiting = JSON.parse(localStorage.getItem(KEPT) ?? "[]");
let busy = false;
let asked = 0; // the number of the last request whose answer is the page
let isBehind = false;

export function begin() {
  form.addEventListener("submit", onSubmit);
  form.elements.photo.addEventListener("change", fromPhoto);
  offerCamera();
  followOthers();
  addEventListener("online", send);
  send();
}

/** Hear one line: kept first, then sent. */
export function hear(line) {
  waiting.push(line);
  keep();
  return send();
}

function keep() {
  localStorage.setItem(KEPT, JSON.stringify(waiting));
}

async function send() {
  if (busy || !waiting.length) return;
  busy = true;
  try {
    while (waiting.length) {
      const lines = waiting.slice(0, MOST_AT_ONCE);
      const data = new FormData();
      for (const name of ["csrf", "place", "count"]) data.append(name, form.elements[name].value);
      for (const line of lines) data.append("line", line);
      data.append("keyboard", keyboard().typed);
      if (!(await post(data))) return;
      waiting = waiting.slice(lines.length);
      keep();
    }
    tell("");
  } catch {
    tell(word("kept", { n: waiting.length }));
    setTimeout(send, AGAIN_MS);
  } finally {
    busy = false;
    if (isBehind) lookAgain();
  }
}

/** Send a form; whether the kitchen took it. Rejects where there is no signal. */
async function post(data) {
  asked += 1;
  const response = await fetch(form.action, { method: "POST", body: data });
  if (response.status >= 500) throw new Error(String(response.status));
  const page = new DOMParser().parseFromString(await response.text(), "text/html");
  if (!response.ok || response.redirected) {
    // Logged out, or the count has ended on another device: the words say which.
    tell(page.querySelector("main").innerText.trim());
    sound("bad");
    return false;
  }
  renew(page);
  const said = page.getElementById("answer");
  const spoken = document.getElementById("answer");
  spoken.replaceChildren(...[...said.childNodes].map((node) => document.importNode(node, true)));
  spoken.dataset.kind = said.dataset.kind;
  if (said.dataset.kind) sound(said.dataset.kind);
  return true;
}

/** Put in place what another page says; fields that somebody types in are left alone. */
function renew(page) {
  const isOpen = document.querySelector("#so-far details")?.open;
  for (const id of PARTS) {
    const fresh = page.getElementById(id);
    const old = document.getElementById(id);
    if (fresh && !old.isEqualNode(fresh)) old.replaceWith(document.importNode(fresh, true));
  }
  const fold = document.querySelector("#so-far details");
  if (fold && isOpen) fold.open = true;
}

/** Others may count the same place: their lids are shown as they come. */
function followOthers() {
  new EventSource("/api/v1/changes").addEventListener("change", lookAgain);
}

/** Show the count as it stands now; an answer that was overtaken by a later one is not. */
async function lookAgain() {
  isBehind = false;
  const mine = asked += 1;
  const response = await fetch(location.href, { cache: "no-store" }).catch(() => null);
  if (!response?.ok || response.redirected) return;
  const page = new DOMParser().parseFromString(await response.text(), "text/html");
  if (mine !== asked) return;
  // What is being sent may have been counted before: then once more when it is done.
  if (busy) isBehind = true;
  else renew(page);
}

function tell(says) {
  const told = document.getElementById("waiting");
  told.textContent = says;
  told.hidden = !says;
}

function onSubmit(event) {
  event.preventDefault();
  const line = form.elements.line.value;
  form.elements.line.value = "";
  if (line.trim()) hear(line);
}

async function fromPhoto() {
  const data = new FormData(form);
  form.elements.photo.value = ""; // so that the same photo can be chosen again
  tell(word("reading"));
  try {
    if (await post(data)) tell("");
  } catch {
    tell(word("nophoto"));
  }
}

function offerCamera() {
  const button = document.getElementById("camera");
  button.hidden = !(isSecureContext && navigator.mediaDevices);
  let stop = null;
  button.addEventListener("click", async () => {
    const video = document.getElementById("view");
    try {
      if (stop) stop();
      stop = stop ? null : await look(video, hear, tell);
    } catch {
      tell(word("blocked"));
    }
    video.hidden = !stop;
    button.textContent = word(stop ? "stop" : "start");
    button.setAttribute("aria-pressed", String(Boolean(stop)));
  });
}
