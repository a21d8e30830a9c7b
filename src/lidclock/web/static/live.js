// Shows what was recorded elsewhere within a second, and what ended meanwhile within a
// minute, without losing what somebody types.
//
// The server tells the ledger's position as it grows. Where it is not that of this page,
// the page is asked for again, and only what differs is put in place.

import { pageOf } from "./words.js";

const CHANGES = "/api/v1/changes";
const AGAIN_MS = 10_000;
const OLD_MS = 60_000;
const PATIENCE_MS = 15_000;
const FIELDS = "input:not([type=hidden]):not([type=submit]), textarea, select";
// What a person changed by hand, and the server knows nothing of.
const THEIRS = new Set(["open", "value", "checked", "selected"]);

export function start() {
  const state = { shown: position(document), told: null, busy: false, isOld: false, at: Date.now() };
  follow((told) => { state.told = told; catchUp(state); }, () => reload().catch(() => {}));
  const look = () => {
    state.isOld = Math.abs(Date.now() - state.at) >= OLD_MS;
    if (state.isOld) catchUp(state);
  };
  setInterval(look, OLD_MS);
  document.addEventListener("visibilitychange", look);
  // Gone back to as it was left: its forms were sent already, and would count as sent.
  addEventListener("pageshow", (event) => { if (event.persisted) location.reload(); });
}

function position(page) {
  return page.querySelector('meta[name="position"]')?.content ?? "";
}

/**
 * Call `heard` with the ledger's position, now and when it grew, and `sentAway` where this
 * page may not listen. A browser keeps few lines to one server, and a phone its battery: a
 * page that nobody sees listens to nothing.
 */
export function follow(heard, sentAway = () => {}) {
  let source = null;
  const hush = () => { source?.close(); source = null; };
  const listen = () => {
    if (source || document.hidden) return;
    const own = source = new EventSource(CHANGES);
    own.addEventListener("change", (event) => heard(String(JSON.parse(event.data).position)));
    own.addEventListener("error", () => {
      // The browser tries again by itself, unless it was sent away.
      if (own.readyState !== EventSource.CLOSED || own !== source) return;
      hush();
      sentAway();
      setTimeout(listen, AGAIN_MS);
    });
  };
  document.addEventListener("visibilitychange", () => document.hidden ? hush() : listen());
  listen();
}

async function catchUp(state) {
  if (state.busy) return;
  state.busy = true;
  try {
    while ((state.isOld || state.told !== state.shown) && !document.hidden) {
      state.isOld = false;
      const wanted = state.told;
      const found = await reload();
      state.at = Date.now();
      state.shown = found || wanted;
      // A page kept for times without a signal is older: wait for the next word.
      if (Number(state.shown) < Number(wanted)) break;
      if (Number(state.shown) > Number(state.told)) state.told = state.shown;
    }
  } catch {
    // No connection: it is tried again when the server is heard, or in a minute.
  } finally {
    state.busy = false;
  }
}

// Ask for this page again; the position of the ledger at which it was made.
async function reload() {
  const answer = await fetch(location.href, {
    headers: { Accept: "text/html" },
    cache: "no-store",
    signal: AbortSignal.timeout(PATIENCE_MS),
  });
  if (answer.redirected || answer.status === 401) {
    location.reload();
    return "";
  }
  if (!answer.ok) throw new Error(String(answer.status));
  const page = await pageOf(answer);
  const [main, fresh] = [document, page].map((one) => one.querySelector("main"));
  const [mine, theirs] = [document, page].map((one) => one.querySelector("script")?.getAttribute("src"));
  // The kitchen has newer scripts.
  if (mine !== theirs && !isTyping(main)) location.reload();
  const focused = document.activeElement;
  if (fresh !== null) update(main, fresh);
  // Who goes by keyboard stays where they were, or where the page begins.
  if (focused !== document.activeElement) (focused.isConnected ? focused : main).focus({ preventScroll: true });
  // The number of alerts stands in the bar.
  const [more, counted] = [document, page].map((one) => one.querySelector('nav a[href="/more"]'));
  if (more && counted) update(more, counted);
  document.dispatchEvent(new CustomEvent("lidclock:changed"));
  return position(page);
}

/** Make `old` say what `fresh` says. */
export function update(old, fresh) {
  if (old.isEqualNode(fresh)) return;
  if (old.nodeName !== fresh.nodeName) {
    if (!isTyping(old)) old.replaceWith(document.importNode(fresh, true));
    return;
  }
  if (old.nodeType !== Node.ELEMENT_NODE) {
    old.data = fresh.data;
    return;
  }
  if (old.matches(FIELDS) && isTyping(old)) return;
  // A form keeps its name: a second tap at it may still come, and is the same act.
  if (old.matches('input[name="once"]')) return;
  updateAttributes(old, fresh);
  updateChildren(old, fresh);
}

function updateAttributes(old, fresh) {
  for (const { name } of [...old.attributes]) {
    if (!fresh.hasAttribute(name) && !THEIRS.has(name)) old.removeAttribute(name);
  }
  for (const { name, value } of fresh.attributes) {
    const isTheirs = THEIRS.has(name) && !old.matches("input[type=hidden], button");
    if (!isTheirs && old.getAttribute(name) !== value) old.setAttribute(name, value);
  }
}

function updateChildren(old, fresh) {
  const left = [...old.childNodes];
  let at = old.firstChild;
  for (const child of fresh.childNodes) {
    const key = keyOf(child);
    const match = left.findIndex(
      (one) => one.nodeName === child.nodeName && keyOf(one) === key,
    );
    if (match < 0) {
      old.insertBefore(document.importNode(child, true), at);
      continue;
    }
    const [one] = left.splice(match, 1);
    // Moving an element takes the focus from it, so only what is out of order moves.
    if (one === at) at = at.nextSibling;
    else old.insertBefore(one, at);
    update(one, child);
  }
  for (const one of left) {
    // What somebody types into stays until the next change finds them done.
    if (!isTyping(one)) one.remove();
  }
}

// By what an item of a list is the same as before: its own name, or what it leads to.
function keyOf(node) {
  if (node.nodeType !== Node.ELEMENT_NODE) return "";
  if (node.id) return `#${node.id}`;
  if (node.dataset?.key) return node.dataset.key;
  if (node.nodeName !== "LI" && node.nodeName !== "SECTION") return "";
  const field = node.querySelector('input[name="key"]');
  if (field !== null) return field.value;
  if (node.nodeName === "SECTION") return node.getAttribute("aria-label") ?? "";
  return node.querySelector("a[href]")?.getAttribute("href") ?? "";
}

function isTyping(node) {
  if (node.nodeType !== Node.ELEMENT_NODE) return false;
  const fields = [...node.querySelectorAll(FIELDS)];
  if (node.matches(FIELDS)) fields.push(node);
  return fields.some((field) => field === document.activeElement || isChanged(field));
}

function isChanged(field) {
  if (field.matches("select")) {
    return [...field.options].some((one) => one.selected !== one.defaultSelected);
  }
  if (field.matches("[type=checkbox], [type=radio]")) {
    return field.checked !== field.defaultChecked;
  }
  return field.value !== field.defaultValue;
}
