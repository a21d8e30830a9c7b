// The scan page's camera button and its photo: what they read is heard like any line.

import { ask, lineInPhoto, look } from "./camera.js";
import { word } from "./words.js";

/** Read the photo in a field: `hear` its lid, or say by `refuse` why there is none. */
export async function fromPhoto(input, hear, refuse) {
  const [photo] = input.files;
  input.value = ""; // so that the same photo can be chosen again
  if (!photo) return;
  document.getElementById("answer").textContent = word("reading");
  const line = await lineInPhoto(photo);
  if (line === null) return refuse(word("several"));
  if (line) return hear(line);
  try {
    const told = await ask(photo);
    if (told.line) hear(told.line);
    else refuse(told.says);
  } catch {
    refuse(word("nophoto"));
  }
}

/** The camera's button, where there may be a camera: one tap on, one tap off. Behind
 * another window or a dark screen it rests: it films nobody and wears no battery down. */
export function offerCamera(hear, refuse) {
  const button = document.getElementById("camera");
  const video = document.getElementById("view");
  let stop = null;
  let isBusy = false; // while the browser asks whether it may
  let isResting = false;
  const show = (stopping) => {
    stop = stopping;
    video.hidden = !stop;
    button.textContent = word(stop ? "stop" : "start");
    button.setAttribute("aria-pressed", String(Boolean(stop)));
  };
  const told = {
    hear,
    several: () => tellOnce(word("several"), refuse),
    fail: () => { show(null); refuse(word("noreader")); },
  };
  button.hidden = !(isSecureContext && navigator.mediaDevices);
  const turn = async (isOn) => {
    if (isBusy) return;
    isBusy = true;
    try {
      stop?.();
      show(isOn ? await look(video, told) : null);
    } catch {
      show(null);
      refuse(word("blocked"));
    } finally {
      isBusy = false;
    }
    restOrResume(); // hidden while the browser asked
  };
  const restOrResume = () => {
    if (document.hidden ? !stop : !isResting) return;
    isResting = document.hidden;
    turn(!isResting);
  };
  button.addEventListener("click", () => turn(!stop));
  document.addEventListener("visibilitychange", restOrResume);
}

/** The camera looks four times a second: what it says is said once. */
function tellOnce(says, refuse) {
  if (document.getElementById("answer").textContent !== `! ${says}`) refuse(says);
}
