// What was recorded on this device and has not reached the kitchen yet, in the browser's
// database, which outlives a flat battery. An event leaves it when the kitchen says it has
// it; what it refuses, or calls a contradiction, stays until a person has seen to it.
// The worker runs this file too: it imports nothing and touches no page.

const EVENTS = "events";
const PROBLEMS = ["refused", "contradiction"];
const AT_ONCE = 100;
const PATIENCE_MS = 15000;

const others = new BroadcastChannel("lidclock-queue");

let opened = null;
let sending = null;

function database() {
  // What failed once, on a full device say, may work the next time.
  opened ??= open().catch((error) => { opened = null; throw error; });
  return opened;
}

function open() {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open("lidclock", 2);
    request.onupgradeneeded = ({ oldVersion }) => {
      // `seq` keeps the order in which things were recorded, whatever the clock did.
      const events = oldVersion
        ? request.transaction.objectStore(EVENTS)
        : request.result.createObjectStore(EVENTS, { keyPath: "seq", autoIncrement: true });
      if (!oldVersion) events.createIndex("id", "id", { unique: true });
      // So that ten thousand events are not read to count them, or to find a hundred.
      events.createIndex("state", "state");
      events.createIndex("subject", "subject");
    };
    request.onsuccess = () => {
      // Another tab with a newer page does not wait for this one.
      request.result.onversionchange = () => { request.result.close(); opened = null; };
      request.result.onclose = () => { opened = null; };
      resolve(request.result);
    };
    request.onblocked = () => reject(new Error("another tab holds an older one"));
    request.onerror = () => reject(request.error);
  });
}

/** Run `work` on the events; resolves with its answer once all of it is on the disk. */
async function transact(mode, work) {
  const transaction = (await database()).transaction(EVENTS, mode, { durability: "strict" });
  return new Promise((resolve, reject) => {
    const request = work(transaction.objectStore(EVENTS));
    transaction.oncomplete = () => resolve(request?.result);
    transaction.onabort = () => reject(transaction.error);
  });
}

/** Keep events to be sent: all or none. */
export async function keep(events) {
  await transact("readwrite", (store) => {
    for (const event of events) store.add({ ...event, state: "waiting", says: "" });
  });
  changed();
}

/** How many wait, and how many want a person to see to them. */
export async function counts() {
  const count = (state) => transact("readonly", (store) => store.index("state").count(state));
  const [waiting, ...problems] = await Promise.all(["waiting", ...PROBLEMS].map(count));
  return { waiting, problems: problems.reduce((all, one) => all + one) };
}

/** The first `most` events that wait, in order. */
function firstWaiting(most) {
  return transact("readonly", (store) => store.index("state").getAll("waiting", most));
}

/** The first `most` events that somebody must see to, in order. */
export async function problems(most) {
  const all = (state) => transact("readonly", (store) => store.index("state").getAll(state, most));
  const found = (await Promise.all(PROBLEMS.map(all))).flat();
  return found.sort((a, b) => a.seq - b.seq).slice(0, most);
}

/** What is kept here under an event's id; undefined once the kitchen has it. */
export function eventOf(id) {
  return transact("readonly", (store) => store.index("id").get(id));
}

/** What was recorded here of one lid and waits. */
export async function waitingOf(subject) {
  const own = await transact("readonly", (store) => store.index("subject").getAll(subject));
  return own.filter((event) => event.state === "waiting");
}

/** Forget events, which the kitchen has or a person has seen to. */
export async function forget(seqs) {
  await transact("readwrite", (store) => {
    for (const seq of seqs) store.delete(seq);
  });
  changed();
}

/** Tell every tab that there is more or less to show. */
function changed() {
  others.postMessage("changed");
  globalThis.dispatchEvent(new Event("lidclock:queue"));
}

/**
 * Send what waits, in order. Resolves with the answers by id, and how far the clock of
 * this device is ahead, in seconds; rejects where the kitchen cannot be reached. Without
 * locks two tabs may send the same event: the kitchen has it once, by its id.
 */
export function send() {
  // Whoever asks while a round is under way may have added something: another follows.
  const after = sending ?? Promise.resolve();
  const round = after.catch(() => {}).then(() =>
    globalThis.navigator.locks ? navigator.locks.request("lidclock-send", drain) : drain(),
  );
  sending = round;
  const done = () => { if (sending === round) sending = null; };
  round.then(done, done);
  return round;
}

async function drain() {
  const answers = new Map();
  let clockOff = null;
  for (;;) {
    const some = await firstWaiting(AT_ONCE);
    if (!some.length) return { answers, clockOff };
    const told = await post(some);
    clockOff = told.clock_off_s ?? null;
    const settled = await settle(some, told.results ?? []);
    for (const one of settled) answers.set(one.id, one);
    // An answer about none of them would otherwise be asked for without an end.
    if (!settled.length) throw new Error("the kitchen said nothing of what was sent");
  }
}

/** How far this device's clock is ahead, in seconds; rejects without a signal. */
export async function clockOff() {
  return (await post([])).clock_off_s;
}

async function post(some) {
  const events = some.map(({ id, kind, subject, happened_at, body }) => ({ id, kind, subject, happened_at, body }));
  const control = new AbortController();
  const timer = setTimeout(() => control.abort(), PATIENCE_MS);
  try {
    const response = await fetch("/api/v1/events", {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ events, sent_at: new Date().toISOString() }),
      signal: control.signal,
    });
    // A page to log in at is no answer either.
    if (!response.ok || response.redirected) throw Object.assign(new Error(`${response.status}`), { status: response.status });
    return await response.json();
  } finally {
    clearTimeout(timer);
  }
}

/** Take out what the kitchen has, and mark what a person has to see to. */
async function settle(some, results) {
  const byId = new Map(results.map((one) => [one.id, one]));
  const settled = some.filter((event) => byId.has(event.id));
  await transact("readwrite", (store) => {
    for (const event of settled) {
      const { result, says, contradiction } = byId.get(event.id);
      const isThere = result === "recorded" || result === "known";
      if (isThere && !contradiction) store.delete(event.seq);
      else store.put({ ...event, state: isThere ? "contradiction" : "refused", says });
    }
  });
  changed();
  return settled.map((event) => byId.get(event.id));
}
