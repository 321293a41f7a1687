// Reads a code from the camera or from a photo. The decoder (zxing/, one megabyte) comes when it is first wanted and is kept then.
import { el, button } from './elements.js';
import { t } from './words.js';

let decoder = null;
const wanted = { formats: ['QRCode', 'DataMatrix', 'Code128', 'EAN13'], tryHarder: true, maxNumberOfSymbols: 1 };

function load() {
  decoder ??= new Promise((resolve, reject) => {
    const script = document.createElement('script');
    script.src = '/now/zxing/reader.js';
    script.onload = () => {
      // Without this it would ask a server that is not ours.
      window.ZXingWASM.prepareZXingModule({ overrides: { locateFile: name => `/now/zxing/${name}` }, fireImmediately: true })
        .then(() => resolve(window.ZXingWASM), reject);
    };
    script.onerror = reject;
    document.head.append(script);
  });
  decoder.catch(() => { decoder = null; });
  return decoder;
}

/** The text of the first code in a picture, or null. */
async function read(picture) {
  const found = await (await load()).readBarcodes(picture, wanted);
  return found.find(one => one.isValid)?.text ?? null;
}

/** Shows the camera's picture in `place` until a code was read or somebody stops. Calls `found` with its text. */
export async function scan(place, found) {
  const video = el('video', { muted: true, playsInline: true, ariaLabel: t('now.camera.picture') });
  const words = el('p', { role: 'status' }, t('now.camera.wait'));
  const photo = el('input', { type: 'file', accept: 'image/*', id: 'photo' });
  photo.setAttribute('capture', 'environment');
  let stream = null;
  let stopped = false;
  const stop = () => {
    stopped = true;
    stream?.getTracks().forEach(track => track.stop());
    place.replaceChildren();
  };
  photo.addEventListener('change', async () => {
    const text = photo.files[0] && await read(photo.files[0]).catch(() => null);
    if (text) { stop(); found(text); } else words.textContent = t('now.camera.none');
  });
  place.replaceChildren(video, words, button(t('now.camera.stop'), stop, 'quiet'),
    el('label', { htmlFor: 'photo' }, t('now.camera.photo')), photo);
  try {
    await load();
  } catch {
    words.textContent = t('now.camera.unloaded');
    return stop;
  }
  try {
    stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: 'environment', width: { ideal: 1280 } } });
  } catch {
    video.remove();
    words.textContent = t('now.camera.denied');
    return stop;
  }
  if (stopped) { stream.getTracks().forEach(track => track.stop()); return stop; }
  video.srcObject = stream;
  await video.play();
  words.textContent = t('now.camera.hold');
  const canvas = document.createElement('canvas');
  const draw = canvas.getContext('2d', { willReadFrequently: true });
  const look = async () => {
    if (stopped) return;
    if (video.videoWidth) {
      [canvas.width, canvas.height] = [video.videoWidth, video.videoHeight];
      draw.drawImage(video, 0, 0);
      const text = await read(draw.getImageData(0, 0, canvas.width, canvas.height)).catch(() => null);
      if (text && !stopped) { navigator.vibrate?.(80); stop(); found(text); return; }
    }
    setTimeout(look, 120);
  };
  look();
  return stop;
}
