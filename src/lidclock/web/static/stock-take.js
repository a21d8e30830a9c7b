// A recount: each lid goes to the kitchen at once, or waits on this device for a signal.
//
// The answer is the page itself; what changed is put in place. A lid that is sent
// twice does no harm, so whatever may not have arrived is sent again.

import { codeOf, keyboard } from "./known.js";
import { follow, update } from "./live.js";
import { offerCamera } from "./pictures.js";
import { sound } from "./sound.js";
import { pageOf, word } from "./words.js";

const AGAIN_MS = 5000;
const MOST_AT_ONCE = 50;
const ENDED = 409; // what was scanned for one count says nothing of another
const form = document.getElementById("count");
const KEPT = `lidclock counted ${form.elements.place.value}`;
// What the kitchen says anew with every page.
const PARTS = ["seen", "so-far", "count-id"];

let busy = false;
let asked = 0; // the number of the last request whose answer is the page
let isBehind = false;

export function begin() {
  form.addEventListener("submit", onSubmit);
  form.elements.photo.addEventListener("change", fromPhoto);
  // What a camera saw, no keyboard has changed: a code stands as it is.
  offerCamera((line) => hear(codeOf(line) || line), refuse);
  // Others may count the same place: their lids are shown as they come.
  follow(showOthers);
  addEventListener("online", send);
  send();
}

/** Hear one line: kept first, then sent. */
export function hear(line) {
  try {
    keep([...kept(), [form.elements.count.value, line]]);
  } catch {
    return refuse(word("full"));
  }
  return send();
}

/** Lines that wait, of whichever tab, each with its count: empty where none was begun. */
function kept() {
  return JSON.parse(localStorage.getItem(KEPT) ?? "[]");
}

function keep(lines) {
  localStorage.setItem(KEPT, JSON.stringify(lines));
}

async function send() {
  if (busy) return;
  busy = true;
  try {
    for (let lines = kept(); lines.length; lines = kept()) {
      const [[count]] = lines;
      const some = lines.slice(0, MOST_AT_ONCE).filter(([own]) => own === count);
      const data = new FormData();
      for (const name of ["csrf", "place", "count"]) data.append(name, form.elements[name].value);
      if (count) data.set("count", count);
      for (const [, line] of some) data.append("line", line);
      data.append("keyboard", keyboard().typed);
      const status = await post(data);
      if (status !== 200 && status !== ENDED) return;
      // Another tab may have sent some of them too.
      const sent = new Set(some.map(String));
      keep(kept().filter((one) => !sent.has(String(one))));
      if (status === ENDED) return;
    }
    tell("");
  } catch {
    tell(word("kept", { n: kept().length }));
    setTimeout(send, AGAIN_MS);
  } finally {
    busy = false;
    if (isBehind) showOthers();
  }
}

/** Send a form; the answer's status, 0 for another page. Rejects without a signal. */
async function post(data) {
  asked += 1;
  const response = await fetch(form.action, { method: "POST", body: data });
  if (response.status >= 500) throw new Error(String(response.status));
  const page = await pageOf(response);
  if (!response.ok || response.redirected) {
    // Logged out, or the count has ended on another device: the words say which.
    tell(page.querySelector("main").innerText.trim());
    sound("bad");
    return response.redirected ? 0 : response.status;
  }
  renew(page);
  const said = page.getElementById("answer");
  const spoken = document.getElementById("answer");
  spoken.replaceChildren(...[...said.childNodes].map((node) => document.importNode(node, true)));
  spoken.dataset.kind = said.dataset.kind;
  if (said.dataset.kind) sound(said.dataset.kind);
  return response.status;
}

/** Put in place what another page says. */
function renew(page) {
  for (const id of PARTS) {
    const fresh = page.getElementById(id);
    if (fresh) update(document.getElementById(id), fresh);
  }
}

/** Show the count as it stands now; an answer that was overtaken by a later one is not. */
async function showOthers() {
  isBehind = false;
  const mine = asked += 1;
  const response = await fetch(location.href, { cache: "no-store" }).catch(() => null);
  if (!response?.ok || response.redirected) return;
  const page = await pageOf(response);
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

function refuse(says) {
  const spoken = document.getElementById("answer");
  spoken.textContent = `! ${says}`;
  spoken.dataset.kind = "bad";
  sound("bad");
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
    if ((await post(data)) === 200) tell("");
  } catch {
    tell(word("nophoto"));
  }
}
