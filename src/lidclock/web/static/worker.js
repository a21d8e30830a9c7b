// The service worker: it keeps a few pages for when there is no signal, the list of lids
// as it was last seen, and sends what waits when the browser wakes it. The kitchen puts
// VERSION, PAGES and FILES before this text, and the queue.

const SHELL = `lidclock ${VERSION}`;
const SEEN = "lidclock seen"; // what is no part of the program outlives a new version
const SHELF = "/api/v1/shelf";
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
  if (request.method !== "GET" || url.origin !== location.origin) return;
  if (url.pathname.startsWith("/static/")) event.respondWith(fromShell(request));
  else if (url.pathname === SHELF) event.respondWith(shelf(request));
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

async function fromShell(request) {
  const own = await caches.open(SHELL);
  return (await own.match(request, { ignoreSearch: true })) ?? fetch(request);
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

async function shelf(request) {
  const seen = await caches.open(SEEN);
  try {
    const response = await fresh(request);
    if (response.ok && !response.redirected) await seen.put(SHELF, response.clone());
    return response;
  } catch {
    return (await seen.match(SHELF)) ?? Response.error();
  }
}

async function page(event, url) {
  try {
    const response = await fresh(event.request);
    if (PAGES.includes(url.pathname) && response.ok && !response.redirected) {
      // With a question it is not what it will be: then it is asked for once more.
      if (url.search) event.waitUntil(keepFile(url.pathname));
      else await (await caches.open(SHELL)).put(url.pathname, response.clone());
    }
    return response;
  } catch {
    return withoutSignal(url);
  }
}

/** A kept page as it is, a page under it by that one; every other turns into the scan
 * page, and a container's address says which lid to look up there. */
async function withoutSignal(url) {
  const own = PAGES.find((path) => url.pathname === path || url.pathname.startsWith(`${path}/`));
  const known = own && (await (await caches.open(SHELL)).match(own));
  if (known && url.pathname === own) return known;
  if (known) return Response.redirect(own, 302);
  if (own === "/scan") return Response.error();
  const [, code] = /^\/c\/([^/]+)/i.exec(url.pathname) ?? [];
  return Response.redirect(code ? `/scan#${code}` : "/scan", 302);
}
