// Keeps the screen awake while something counts down, and makes itself heard and felt when it ends.

let lock = null;
let sound = null;

/** Browsers let a page make sounds only after somebody touched it: called from a button. */
export function ready() {
  sound ??= new (window.AudioContext ?? window.webkitAudioContext)();
  sound.resume?.();
}

export async function stayAwake(wanted) {
  if (!wanted) {
    await lock?.release().catch(() => {});
    lock = null;
  } else if (!lock && document.visibilityState === 'visible' && navigator.wakeLock) {
    lock = await navigator.wakeLock.request('screen').catch(() => null);
    lock?.addEventListener('release', () => { lock = null; });
  }
}

/** Three tones; a phone in a pocket shakes. */
export function ring() {
  navigator.vibrate?.([300, 150, 300, 150, 600]);
  if (!sound || sound.state !== 'running') return;
  for (const start of [0, 0.35, 0.7]) {
    const tone = sound.createOscillator();
    const volume = sound.createGain();
    tone.frequency.value = 880;
    volume.gain.value = 0.4;
    tone.connect(volume).connect(sound.destination);
    tone.start(sound.currentTime + start);
    tone.stop(sound.currentTime + start + 0.22);
  }
}
