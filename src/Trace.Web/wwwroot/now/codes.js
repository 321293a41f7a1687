// What stands in a code that was scanned or typed: the lot or container that it names.

/** Application identifiers of fixed length that may stand before the lot (GS1 General Specifications, section 3.2; from memory). */
const fixed = { '00': 18, '01': 14, '02': 14, 11: 6, 12: 6, 13: 6, 15: 6, 16: 6, 17: 6 };

export function codeOf(scanned) {
  const text = scanned.trim();
  if (/^https?:\/\//i.test(text)) return ofAddress(text);
  const plain = text.replace(/^\](?:C1|d2|Q3|e0)/, '');
  const bracketed = /\(10\)([^(\x1d]{1,20})/.exec(plain);
  if (bracketed) return bracketed[1].toUpperCase();
  if (/^(?:00|01|02)\d{14}/.test(plain)) return ofElements(plain);
  return /^[0-9A-Za-z][0-9A-Za-z.-]{0,19}$/.test(plain) ? plain.toUpperCase() : null;
}

/** A GS1 Digital Link, the site's plain address, or the address of a page of ours. */
function ofAddress(text) {
  let parts;
  try {
    parts = new URL(text).pathname.split('/').filter(part => part).map(decodeURIComponent);
  } catch {
    return null;
  }
  if (parts[0] === 'lot' && parts.length >= 3) return parts[2];
  if (parts[0] === 'sites' && parts[2] === 'lots' && parts[3]) return parts[3];
  const place = parts.findIndex((part, index) => part === '10' && index % 2 === 0);
  return place > 0 ? parts[place + 1] ?? null : null;
}

function ofElements(text) {
  for (let at = 0; at + 2 <= text.length;) {
    if (text[at] === '\x1d') { at++; continue; }
    const identifier = text.slice(at, at + 2);
    if (identifier === '10') return text.slice(at + 2).split('\x1d')[0].slice(0, 20) || null;
    if (fixed[identifier]) { at += 2 + fixed[identifier]; continue; }
    const next = text.indexOf('\x1d', at);
    if (next < 0) return null;
    at = next + 1;
  }
  return null;
}
