// Words for people come with the page, in its language; here are only their names.

// From right to left, a value in another script would drag the signs around it along.
const isolated = document.documentElement.dir === "rtl" ? (value) => `\u2068${value}\u2069` : String;

/** The words called `name`, with `{n}` and the like filled in. */
export function word(name, values = {}) {
  const found = document.getElementById("words").content.querySelector(`[data-word="${name}"]`);
  return found.textContent.replace(/\{(\w+)\}/g, (whole, key) => (key in values ? isolated(values[key]) : whole));
}

/** `Tue 3 Nov 2026, 07:30` in the kitchen's zone: never a date of numbers only, and in
 * Western digits in every language, as labels have them. */
export function when(iso, zone) {
  const language = document.documentElement.lang;
  const shape = { weekday: "short", day: "numeric", month: "short", year: "numeric", hour: "2-digit", minute: "2-digit", hourCycle: "h23", numberingSystem: "latn" };
  return new Intl.DateTimeFormat(language === "en" ? "en-GB" : language, { ...shape, timeZone: zone }).format(new Date(iso));
}

/** The page that an answer bears. */
export async function pageOf(answer) {
  return new DOMParser().parseFromString(await answer.text(), "text/html");
}

/** An element with its properties. */
export function made(tag, properties) {
  return Object.assign(document.createElement(tag), properties);
}

export function spaced(code) {
  return `${code.slice(0, 3)} ${code.slice(3)}`;
}
