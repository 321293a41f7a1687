// What holds a lot: how far it is from its limit, when that may be over, and the way out.
import { el } from './elements.js';
import { t, has, number, clock, countdown } from './words.js';

export function holdList(holds, now, site) {
  if (!holds?.length) return null;
  return el('section', { 'aria-labelledby': 'held' }, el('h2', { id: 'held' }, t('now.held')), el('ul', { className: 'holds' }, holds.map(hold => one(hold, now, site))));
}

function one(hold, now, site) {
  const isEnglish = document.documentElement.lang === 'en';
  const left = hold.clearsAt ? (Date.parse(hold.clearsAt) - now) / 1000 : null;
  const within = hold.clearsWithinMinutes ? ` ± ${number(Math.max(1, hold.clearsWithinMinutes), 0)} min` : '';
  const words = has(`now.hold.${hold.rule}`) ? t(`now.hold.${hold.rule}`) : hold.rule;
  return el('li', {},
    el('p', {}, el('span', { className: 'badge held' }, t('now.held.word')), ' ', el('strong', {}, words)),
    hold.value !== undefined && hold.limit !== undefined
      ? el('p', { className: 'figure' }, t('now.value-limit', number(hold.value, 2), number(hold.limit, 2), hold.unit ?? '')) : null,
    left !== null && left > 0 ? el('p', { className: 'figure' }, t('now.about-at', clock(Date.parse(hold.clearsAt), site), countdown(left)) + within) : null,
    el('p', { lang: 'en' }, hold.reason),
    isEnglish ? el('p', {}, t('now.clears'), ' ', hold.clears) : null);
}
