// A batch: a lid that is scanned here went into it. What was there already bears its code.

import { codeOf, keyboard, meaning, undone } from "./known.js";
import { sound } from "./sound.js";
import { spaced } from "./words.js";

const form = document.querySelector("[data-page=prep]");
const fold = document.getElementById("inputs");
let queued = Promise.resolve(); // one lid after another, in the order scanned

export function begin() {
  // A scanner ends with Enter, which would send the form: the next field is meant.
  form.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !event.target.matches("[name=input], [name=code]")) return;
    event.preventDefault();
    form.elements[[...form.elements].indexOf(event.target) + 1].focus();
  });
}

/** Hear one line: the lid's code goes into the first field that is free. */
export function hear(line) {
  queued = queued.then(() => heard(line)).catch(() => take(line, line));
  return queued;
}

async function heard(line) {
  if (!fold) return heardOfOne(codeOf(undone(line)));
  const told = await meaning({ line, action: "LOOK", keyboard: keyboard().typed });
  if (told.kind === "lid") take(told.code, told.says);
  else tell("bad", told.says ?? told.error ?? line);
}

/** What was there already has one code, which the kitchen need not know yet. */
function heardOfOne(code) {
  if (code) form.elements.code.value = code;
  tell(code ? "good" : "bad", code && spaced(code));
}

function take(code, says) {
  const fields = [...fold.querySelectorAll("[name=input]")];
  if (!fields.some((field) => field.value === code)) (fields.find((field) => !field.value) ?? added()).value = code;
  tell("good", says);
}

function added() {
  const last = [...fold.querySelectorAll(".input")].at(-1);
  const more = last.cloneNode(true);
  for (const field of more.querySelectorAll("input")) field.value = "";
  last.after(more);
  return more.querySelector("[name=input]");
}

function tell(kind, says) {
  if (fold) fold.open = true;
  document.getElementById("heard").textContent = says;
  sound(kind);
}
