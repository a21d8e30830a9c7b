// A batch: a lid that is scanned here went into it.

import { keyboard } from "./known.js";
import { sound } from "./sound.js";

const fold = document.getElementById("inputs");
let queued = Promise.resolve(); // one lid after another, in the order scanned

/** Hear one line: the lid's code goes into the first field that is free. */
export function hear(line) {
  queued = queued.then(() => heard(line)).catch(() => take(line, line));
  return queued;
}

async function heard(line) {
  const response = await fetch("/scan/check", {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ line, action: "LOOK", keyboard: keyboard().typed }),
  });
  if (response.status >= 500) throw new Error(String(response.status));
  const told = await response.json();
  if (told.kind === "lid") take(told.code, told.says);
  else tell("bad", told.says ?? told.error ?? line);
}

function take(code, says) {
  const fields = [...fold.querySelectorAll("[name=input]")];
  if (!fields.some((field) => field.value === code)) (fields.find((field) => !field.value) ?? added()).value = code;
  tell("good", says);
}

/** One more pair of fields, like the last. */
function added() {
  const last = [...fold.querySelectorAll(".input")].at(-1);
  const more = last.cloneNode(true);
  for (const field of more.querySelectorAll("input")) field.value = "";
  last.after(more);
  return more.querySelector("[name=input]");
}

function tell(kind, says) {
  fold.open = true;
  document.getElementById("heard").textContent = says;
  sound(kind);
}
