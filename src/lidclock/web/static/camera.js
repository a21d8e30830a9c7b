// The live camera. Where the browser finds symbols itself (BarcodeDetector) nothing leaves
// the device; where it does not, twice a second at most a picture goes to the kitchen's own
// computer, which reads it and keeps nothing. Only while the page is in front.

const LOOK_MS = 250;
const ASK_MS = 500;
const GONE_MS = 2000; // a lid not seen for so long counts as taken away
const WIDEST = 1280;
const KINDS = ["qr_code", "code_128", "data_matrix"];

/** What finds symbols in this browser, or null. */
export async function detector() {
  if (!("BarcodeDetector" in globalThis)) return null;
  const there = await BarcodeDetector.getSupportedFormats();
  const formats = KINDS.filter((kind) => there.includes(kind));
  return formats.includes("qr_code") ? new BarcodeDetector({ formats }) : null;
}

/**
 * Show the camera in `video` and call `hear` with each lid it sees, once while it stays in
 * view, and `tell` with words about what it sees instead. Resolves with what stops it.
 */
export async function look(video, hear, tell) {
  const stream = await navigator.mediaDevices.getUserMedia({
    video: { facingMode: "environment", width: { ideal: WIDEST } },
  });
  video.srcObject = stream;
  await video.play();
  const found = await detector();
  const once = onlyOnce(hear);
  const glance = found ? () => byBrowser(found, video, once) : () => byKitchen(video, once, tell);
  const state = { isOn: true };
  repeat(state, glance, found ? LOOK_MS : ASK_MS);
  return () => {
    state.isOn = false;
    for (const track of stream.getTracks()) track.stop();
    video.srcObject = null;
  };
}

/** One glance after another, never two at a time, none behind another window. */
async function repeat(state, glance, everyMs) {
  while (state.isOn) {
    const next = new Promise((resolve) => setTimeout(resolve, everyMs));
    if (document.visibilityState === "visible") await glance().catch(() => {});
    await next;
  }
}

/** A lid held before the camera is one scan: it must go before it counts again. */
function onlyOnce(hear) {
  let last = "";
  let seenAt = 0;
  return (line) => {
    const now = performance.now();
    const isNew = line !== last || now - seenAt > GONE_MS;
    [last, seenAt] = [line, now];
    if (isNew) hear(line);
  };
}

async function byBrowser(found, video, hear) {
  const lines = new Set((await found.detect(video)).map((symbol) => symbol.rawValue));
  // Of two lids in view none is meant.
  if (lines.size === 1) hear([...lines][0]);
}

async function byKitchen(video, hear, tell) {
  const { line, seen, says } = await ask(await picture(video));
  if (line) hear(line);
  else if (seen) tell(says);
}

function picture(video) {
  const scale = Math.min(1, WIDEST / video.videoWidth);
  const canvas = document.createElement("canvas");
  canvas.width = video.videoWidth * scale;
  canvas.height = video.videoHeight * scale;
  canvas.getContext("2d").drawImage(video, 0, 0, canvas.width, canvas.height);
  return new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", 0.85));
}

/** Have the kitchen's computer read a picture; rejects where it cannot be reached. */
export async function ask(image) {
  const response = await fetch("/scan/photo", {
    method: "POST",
    headers: { "Content-Type": image.type || "application/octet-stream" },
    body: image,
  });
  const told = await response.json();
  return response.ok ? told : { line: "", seen: true, says: told.error };
}
