// The words of the screen, and numbers and times as its language writes them.

let words = {};
export const languages = ['en', 'fr', 'es', 'id', 'sw'];

/** The language that was chosen here, or the first of the browser's that there is. */
export const chosenLanguage = () => localStorage.getItem('language')
  ?? navigator.languages.map(tag => tag.split('-')[0]).find(code => languages.includes(code)) ?? 'en';

export async function loadWords(language) {
  const answer = await fetch(`/now/words/${language}.json`);
  words = await answer.json();
  document.documentElement.lang = language;
  document.title = t('now.title');
}

/** A text with {0}, {1} … in the places of values. */
export const t = (key, ...values) => (words[key] ?? key).replace(/\{(\d)\}/g, (_, place) => values[place] ?? '');
export const has = key => key in words;
export const unreviewed = () => words['buyer.unreviewed'] ?? '';

/** No sign for thousands: it could be read as the decimal sign. */
export const number = (value, decimals = 3) =>
  (Math.round(value * 10 ** decimals) / 10 ** decimals).toString().replace('.', words.$decimal ?? '.');

/** One decimal sign at most, comma or point; null for everything else. A comma that goes unnoticed would make ten times the mass. */
export function parseNumber(text) {
  const plain = text.trim().replace(/[٠-٩]/g, digit => '٠١٢٣٤٥٦٧٨٩'.indexOf(digit)).replace(/[,٫]/g, '.');
  return /^-?\d{1,7}(\.\d{1,6})?$/.test(plain) ? Number(plain) : null;
}

/** Time of day at the site. */
export const clock = (instant, site) => new Date(instant + (site?.offsetMinutes ?? 0) * 60000).toISOString().slice(11, 16);

/** The instant as the site writes it, such as 2026-11-16T08:30:05.250+03:00: readings of the same second must not seem to come later. */
export function siteTime(instant, site) {
  const minutes = site?.offsetMinutes ?? 0;
  const sign = minutes < 0 ? '-' : '+';
  const two = value => String(Math.floor(Math.abs(value))).padStart(2, '0');
  return new Date(instant + minutes * 60000).toISOString().slice(0, 23) + sign + two(minutes / 60) + ':' + two(minutes % 60);
}

/** 95 seconds as 1:35. */
export const countdown = seconds => {
  const left = Math.max(0, Math.ceil(seconds));
  return `${Math.floor(left / 60)}:${String(left % 60).padStart(2, '0')}`;
};
