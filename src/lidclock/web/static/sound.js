// A beep and a buzz for each answer, told apart by pitch, length and number.

const SOUNDS = {
  good: { tones: [[1320, 0.09]], buzz: [60] },
  odd: { tones: [[660, 0.12], [660, 0.12]], buzz: [90, 60, 90] },
  bad: { tones: [[220, 0.35]], buzz: [300] },
};

let audio = null;

/** Sound and buzz for an answer: good, odd or bad. Silent where the browser is. */
export function sound(kind) {
  const { tones, buzz } = SOUNDS[kind];
  navigator.vibrate?.(buzz);
  try {
    audio ??= new AudioContext();
    // Browsers begin it asleep until somebody has touched the page.
    audio.resume();
    let at = audio.currentTime;
    for (const [pitch, length] of tones) {
      tone(pitch, at, length);
      at += length + 0.06;
    }
  } catch {
    // No sound here: the text says it all.
  }
}

function tone(pitch, at, length) {
  const source = audio.createOscillator();
  const volume = audio.createGain();
  source.frequency.value = pitch;
  volume.gain.setValueAtTime(0.2, at);
  volume.gain.exponentialRampToValueAtTime(0.001, at + length);
  source.connect(volume).connect(audio.destination);
  source.start(at);
  source.stop(at + length);
}
