// The symbols in pictures: which there are, and which of them is meant. The worker that
// reads them is loaded with the first picture, for it is large.

import { codeOf } from "./known.js";

let worker = null;
let asked = 0;
const waiting = new Map(); // by number: what to do with the answer

/** The lines in a video or image, drawn no wider or higher than `most` pixels; rejects
 * where this browser cannot read any. */
export function linesIn(source, width, height, most) {
  const scale = Math.min(1, most / Math.max(width, height));
  return read(pixelsOf(source, Math.round(width * scale), Math.round(height * scale)));
}

const canvas = document.createElement("canvas");

function pixelsOf(source, width, height) {
  if (canvas.width !== width || canvas.height !== height) Object.assign(canvas, { width, height });
  const context = canvas.getContext("2d", { willReadFrequently: true });
  // What is transparent in a picture is paper.
  context.fillStyle = "white";
  context.fillRect(0, 0, width, height);
  context.drawImage(source, 0, 0, width, height);
  return context.getImageData(0, 0, width, height);
}

function read({ data, width, height }) {
  return new Promise((resolve, reject) => {
    const id = ++asked;
    waiting.set(id, { resolve, reject });
    worker ??= begun();
    // Handed over, not copied.
    worker.postMessage({ id, width, height, pixels: data.buffer }, [data.buffer]);
  });
}

function begun() {
  const made = new Worker(new URL("reader.js", import.meta.url));
  made.addEventListener("message", ({ data: { id, lines, why } }) => {
    if (why) return end(why);
    waiting.get(id)?.resolve(lines);
    waiting.delete(id);
  });
  made.addEventListener("error", (event) => end(event.message));
  return made;
}

/** Give up what is under way; the next picture begins anew. */
function end(why) {
  worker?.terminate();
  worker = null;
  for (const { reject } of waiting.values()) reject(new Error(why));
  waiting.clear();
}

/**
 * The one line that is meant: empty where there is none, null where several lids are in
 * view. Another symbol beside a lid's is no hindrance. A label has two symbols with one
 * code, and of two labels on a lid the older one counts, which is the one to take off.
 */
export function meant(lines) {
  const lids = lines.filter(codeOf);
  const codes = new Set(lids.map(codeOf));
  if (codes.size > 1) return null;
  if (codes.size === 1) return lids.toSorted((a, b) => numberOf(a) - numberOf(b))[0];
  return new Set(lines).size > 1 ? null : (lines[0] ?? "");
}

/** Which label of its lid it is; an address of the first one bears no number, and bars
 * never do, so they come after those that tell. */
function numberOf(line) {
  if (!/\/C\//i.test(line)) return Infinity;
  return Number(/\/(\d+)$/.exec(line)?.[1] ?? 1);
}
