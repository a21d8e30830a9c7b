// The live camera and photos of lids. Pictures are read on this device (reading.js).

import { codeOf } from "./known.js";
import { linesIn, meant } from "./reading.js";

const LOOK_MS = 250;
const GONE_MS = 2000; // a lid not seen for so long counts as taken away
const SEVERAL_MS = 1000;
const WIDEST = 1280;
const WIDEST_PHOTO = 2400; // of a phone's 4000: a third of the memory, and enough of a lid

/**
 * Show the camera in `video`. `hear` is called with each lid it sees, once while it stays
 * in view, `several` while more than one is, and `fail` where no picture can be read: it
 * has then stopped. Resolves with what stops it; rejects where there is no camera.
 */
export async function look(video, { hear, several, fail }) {
  const stream = await navigator.mediaDevices.getUserMedia({
    video: { facingMode: "environment", width: { ideal: WIDEST } },
  });
  const state = { isOn: true };
  const stop = () => {
    state.isOn = false;
    for (const track of stream.getTracks()) track.stop();
    video.srcObject = null;
  };
  video.srcObject = stream;
  await video.play().catch((error) => { stop(); throw error; });
  const once = onlyOnce(hear);
  const glance = async () => {
    const line = meant(await linesIn(video, video.videoWidth, video.videoHeight, WIDEST));
    if (!state.isOn) return;
    once(line);
    if (line === null) several();
  };
  repeat(state, glance).catch(() => {
    stop();
    fail();
  });
  return stop;
}

/** One glance after another, never two at a time. After a slow one the device rests as
 * long as it took. */
async function repeat(state, glance) {
  while (state.isOn) {
    const began = performance.now();
    await glance();
    const took = performance.now() - began;
    await new Promise((resolve) => setTimeout(resolve, Math.max(took, LOOK_MS - took)));
  }
}

/**
 * A lid held before the camera is one scan: it must go before it counts again. It counts
 * once it was seen alone twice running, and none does for a while after several were: of
 * two lids in view one glance may see only one.
 */
function onlyOnce(hear) {
  let before = "";
  let heard = "";
  let seenAt = -Infinity;
  let severalAt = -Infinity;
  return (line) => {
    const now = performance.now();
    if (line === null) severalAt = now;
    const lid = line && (codeOf(line) || line);
    const isSteady = lid && lid === before && now - severalAt > SEVERAL_MS;
    before = lid;
    if (lid && lid === heard && now - seenAt <= GONE_MS) seenAt = now;
    else if (isSteady) {
      [heard, seenAt] = [lid, now];
      hear(line);
    }
  };
}

/** The line in a photo as `meant` tells it, read here; empty where it cannot be. */
export async function lineInPhoto(photo) {
  try {
    const image = await createImageBitmap(photo);
    const lines = await linesIn(image, image.width, image.height, WIDEST_PHOTO);
    image.close();
    return meant(lines);
  } catch {
    return "";
  }
}

/** Have the kitchen's computer read a photo; rejects where it cannot be reached. */
export async function ask(photo) {
  const response = await fetch("/scan/photo", {
    method: "POST",
    headers: { "Content-Type": photo.type || "application/octet-stream" },
    body: photo,
  });
  const told = await response.json();
  return response.ok ? told : { line: "", says: told.error };
}
