// The service worker: it keeps a few pages for when there is no signal, the list of lids
// as it was last seen, and sends what waits when the browser wakes it. The kitchen puts
// VERSION, PAGES and FILES before this text, and the queue.

const SHELL = `lidclock ${VERSION}`;
const SEEN = "lidclock seen"; // what is no part of the program outlives a new version
const SHELF = "/api/v1/shelf";
const SCAN = "/scan";
// After these another person may be at the device, or in another language.
const HANDOVERS = ["/login", "/logout", "/switch", "/pair", "/language"];
const PAGE_PATIENCE_MS = 4000;

addEventListener("install", (event) => {
  skipWaiting();
  event.waitUntil(Promise.all(FILES.map(keepFile)));
});

addEventListener("activate", (event) => {
  event.waitUntil(dropOthers().then(() => clients.claim()));
});

addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== location.origin) return;
  if (request.method === "POST" && HANDOVERS.includes(url.pathname)) event.respondWith(handOver(event));
  if (request.method !== "GET") return;
  if (url.pathname.startsWith("/static/")) event.respondWith(file(request, url));
  else if (url.pathname === SHELF) event.respondWith(shelf(event));
  else if (request.mode === "navigate") event.respondWith(page(event, url));
});

// Background Sync, where there is one: a rejected promise makes the browser try again.
addEventListener("sync", (event) => {
  if (event.tag === "lidclock-send") event.waitUntil(send());
});

// A tap on what was told leads to what it is about: tell.js.
addEventListener("notificationclick", (event) => {
  event.notification.close();
  event.waitUntil(leadTo(event.notification.data?.path ?? "/alerts"));
});

/** A window that is there already, else a new one: nothing is taken from who types. */
async function leadTo(path) {
  const windows = await clients.matchAll({ type: "window" });
  const there = windows.find((one) => new URL(one.url).pathname === path);
  try {
    await (there ? there.focus() : clients.openWindow(path));
  } catch {
    await windows[0]?.navigate(path); // a browser that opens none by itself
  }
}

async function keepFile(path) {
  // Not from the browser's own cache: that may hold the version before.
  const response = await fetch(path, { cache: "reload" });
  const isIt = response.ok && !response.redirected;
  if (isIt) await (await caches.open(SHELL)).put(path, response);
  // A page may be behind a log-in still; it is kept when it is first seen.
  else if (!PAGES.includes(path)) throw new Error(`${path}: ${response.status}`);
}

async function dropOthers() {
  const names = await caches.keys();
  const old = names.filter((name) => name.startsWith("lidclock ") && name !== SHELL && name !== SEEN);
  await Promise.all(old.map((name) => caches.delete(name)));
}

/** A file of this version as it was kept. One of another version comes from the kitchen,
 * since a newer page must not run older scripts; without a signal the kept one must do. */
async function file(request, { pathname }) {
  const [, version = VERSION, name] = /^\/static\/(?:([0-9a-f]{16})\/)?(.*)/.exec(pathname);
  const kept = await (await caches.open(SHELL)).match(`/static/${VERSION}/${name}`);
  if (kept && version === VERSION) return kept;
  return fetch(request).catch(() => kept ?? Response.error());
}

/** From the kitchen if it answers in time: a weak signal is worse than none. */
async function fresh(request) {
  const control = new AbortController();
  const timer = setTimeout(() => control.abort(), PAGE_PATIENCE_MS);
  try {
    return await fetch(request, { signal: control.signal });
  } finally {
    clearTimeout(timer);
  }
}

/** Keep a copy, behind the answer's back: a full device is no reason to do without it. */
async function lay(name, path, copy) {
  try {
    await (await caches.open(name)).put(path, copy);
  } catch {
    // What was kept before stays, or nothing.
  }
}

async function shelf(event) {
  try {
    const response = await fresh(event.request);
    if (response.ok && !response.redirected) event.waitUntil(lay(SEEN, SHELF, response.clone()));
    return response;
  } catch {
    return (await (await caches.open(SEEN)).match(SHELF)) ?? Response.error();
  }
}

async function page(event, url) {
  const isKept = PAGES.includes(url.pathname);
  try {
    // What turns into nothing better may take as long as it takes: a report, say.
    const response = await (isKept || lidOf(url) ? fresh : fetch)(event.request);
    // A page that only sends the browser on is none.
    if (isKept && response.ok && !response.redirected && !response.headers.has("Refresh")) {
      // With a question it is not what it will be: then it is asked for once more.
      const path = url.pathname;
      event.waitUntil(url.search ? keepFile(path).catch(() => {}) : lay(SHELL, path, response.clone()));
    }
    return response;
  } catch {
    return withoutSignal(url);
  }
}

/** A kept page as it is, a page under it by that one; every other turns into the scan
 * page, and a container's address says which lid to look up there. Where none is kept,
 * the address stays and can be asked for again: a display on a wall has no scan page. */
async function withoutSignal(url) {
  const shell = await caches.open(SHELL);
  const own = PAGES.find((path) => url.pathname === path || url.pathname.startsWith(`${path}/`)) ?? SCAN;
  for (const path of [own, SCAN]) {
    const known = await shell.match(path);
    if (known && url.pathname === path) return known;
    if (known) return Response.redirect(path + lidOf(url), 302);
  }
  return Response.error();
}

/** The part of a container's address that names it, empty for any other address. */
function lidOf(url) {
  const [, code] = /^\/c\/([^/]+)/i.exec(url.pathname) ?? [];
  return code ? `#${code}` : "";
}

/** Who leaves a shared device leaves no page with their name on it. */
async function handOver(event) {
  const response = await fetch(event.request);
  event.waitUntil(handedOver());
  return response;
}

async function handedOver() {
  await Promise.all([[SEEN, SHELF], ...PAGES.map((path) => [SHELL, path])].map(
    async ([name, path]) => (await caches.open(name)).delete(path),
  ));
  const list = await fetch(SHELF);
  if (list.ok && !list.redirected) await lay(SEEN, SHELF, list);
  await Promise.all(PAGES.map(keepFile));
}
