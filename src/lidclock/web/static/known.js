// What this device can say of a lid by itself: its code, how it was last seen, and how the
// keyboard changes what is scanned.

const ALPHABET = "0123456789BCDEFGHJKMNPRSTVWX";
const CHECK_MS = 4000;
const KEYBOARD = "lidclock keyboard";
const LOOKALIKE = { O: "0", I: "1", L: "1" };

const AIM = /^\][A-Z]\d/i; // which kind of symbol it was: some scanners send that in front
const SUPPLIERS = /^\](C1|d2|Q3|e\d)/; // GS1 symbols: no code of ours is looked for in them

/** The code in a line, empty where there is none; its check symbol must be right. */
export function codeOf(line) {
  if (SUPPLIERS.test(line)) return "";
  const meant = line.trim().replace(AIM, "").toUpperCase();
  const [, address] = /\/C\/([^/]+)(?:\/\d+)?$/.exec(meant) ?? [];
  const code = (address ?? meant).replace(/[ -]/g, "").replace(/[OIL]/g, (letter) => LOOKALIKE[letter]);
  return code.length === 7 && [...code].every((symbol) => ALPHABET.includes(symbol)) && check(code.slice(0, 6)) === code[6] ? code : "";
}

// ISO/IEC 7064:2003, clause 8, with M = 28: as the kitchen makes its codes.
function check(data) {
  const size = ALPHABET.length;
  let carry = size;
  for (const symbol of data) {
    carry = (carry + ALPHABET.indexOf(symbol)) % size || size;
    carry = (carry * 2) % (size + 1);
  }
  return ALPHABET[(size + 1 - carry) % size];
}

/** The action that an action symbol holds. */
export function actionOf(line) {
  return line.trim().replace(AIM, "").split(/\/A\//i).at(-1).toUpperCase();
}

/** What this browser's keyboard made of the set-up symbol; the kitchen undoes it. */
export function keyboard() {
  return JSON.parse(localStorage.getItem(KEYBOARD) ?? '{"typed": "", "table": {}}');
}

/** Remember the keyboard: what was typed, and the table that the kitchen made of it. */
export function learnKeyboard(typed, table) {
  localStorage.setItem(KEYBOARD, JSON.stringify({ typed, table }));
}

export function undone(line) {
  const { table } = keyboard();
  // What hands typed stands as it is: only a line that reads as no code is changed.
  return Object.keys(table).length && !/^[\s0-9A-Z-]{7,8}$/i.test(line) ? [...line].map((seen) => table[seen] ?? seen).join("") : line;
}

/** What a line means to the kitchen; rejects where it cannot be asked. */
export async function meaning(said) {
  const response = await fetch("/scan/check", {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(said),
    signal: AbortSignal.timeout(CHECK_MS),
  });
  if (response.status >= 500 || response.redirected) throw new Error(String(response.status));
  return response.json();
}

/** The lids as last told, or null: from the worker if there is no signal. */
export async function shelf() {
  try {
    const response = await fetch("/api/v1/shelf");
    return response.ok && !response.redirected ? await response.json() : null;
  } catch {
    return null;
  }
}
