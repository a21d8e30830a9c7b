// A scanner that types is a keyboard: only its speed tells its keys from a person's. What
// is typed or scanned into a field belongs to that field.

// Scanners send a key every few milliseconds, quick typists one in 80 or more (common
// practice, no source). One late key is forgiven, the mean is not.
const MEAN_MS = 50;
const PAUSE_MS = 250;
// Most scanners end with Enter; a line of one that does not ends with silence.
const SILENCE_MS = 1000;
const SHORTEST = 3; // USE, the shortest action symbol
const GROUP_SEPARATOR = "\x1d"; // sent as Ctrl and ] between a supplier's elements

/** Where a line that was scanned on another page waits for the scan page. */
export const STASH = "lidclock scanned elsewhere";

const FIELDS = "textarea, select, input:not([type=radio], [type=checkbox], [type=file], [type=submit], [type=button])";

let keys = [];
let timer = 0;

/** Call `hear` with each line that a scanner types while no field is focused. */
export function listen(hear) {
  addEventListener("keydown", (event) => onKey(event, hear), true);
}

function onKey(event, hear) {
  const target = event.composedPath()[0];
  if (target instanceof Element && (target.matches(FIELDS) || target.isContentEditable)) {
    keys = [];
    return;
  }
  const key = keyOf(event);
  if (!key) return;
  if (keys.length && event.timeStamp - keys.at(-1).at > PAUSE_MS) keys = [];
  clearTimeout(timer);
  if (key === "Enter" || key === "Tab") {
    // Without this the scanner's Enter would press whatever button was touched last.
    if (isScanned()) event.preventDefault();
    finish(hear);
    return;
  }
  keys.push({ text: key, at: event.timeStamp });
  // From the second quick key on: "/" opens a search in some browsers, a blank scrolls.
  if (keys.length > 1 && isQuick()) event.preventDefault();
  timer = setTimeout(() => { if (isScanned()) finish(hear); }, SILENCE_MS);
}

function keyOf(event) {
  if (event.isComposing || event.repeat) return "";
  if (event.ctrlKey && event.key === "]") return GROUP_SEPARATOR;
  const isShortcut = (event.ctrlKey || event.altKey || event.metaKey) && !event.getModifierState("AltGraph");
  if (isShortcut) return "";
  if (event.key === "Enter" || event.key === "Tab") return event.key;
  return [...event.key].length === 1 ? event.key : "";
}

function isQuick() {
  return (keys.at(-1).at - keys[0].at) / (keys.length - 1) <= MEAN_MS;
}

function isScanned() {
  return keys.length >= SHORTEST && isQuick();
}

function finish(hear) {
  const line = isScanned() ? keys.map((key) => key.text).join("") : "";
  keys = [];
  if (line) hear(line);
}
