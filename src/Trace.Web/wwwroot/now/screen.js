// The screen at the bench: a code comes in, the one next thing to do with what it names comes out. Works without a network from what the
// tablet keeps; the server has the last word.
import { el, button, code } from './elements.js';
import { t, number, clock, siteTime, loadWords, chosenLanguage } from './words.js';
import { keep, kept, allEntries, answerTo } from './store.js';
import { add, send, heard } from './outbox.js';
import { picture } from './picture.js';
import { codeOf } from './codes.js';
import { formOf } from './form.js';
import { steps } from './steps.js';
import { dryerScreen, face, loadRunning, runningLots, renameRunning } from './dryer.js';
import { sanitisingScreen } from './sanitising.js';
import { scan } from './camera.js';
import { holdList } from './holds.js';
import { languagePicker, personPicker, waitingScreen } from './around.js';

const main = document.getElementById('main');
const top = document.getElementById('top');
const places = ['dried', 'sanitised', 'harvest', 'bulk', 'packed'];

/** The last answer of the server with when it came and how far the tablet's clock was off; null before the first. */
let last = null;
/** 'on', 'off' or 'sign-in'. */
let network = 'off';
let who = null;
let site = new URLSearchParams(location.search).get('site') ?? localStorage.getItem('site');
let pause = 2000;
let timer = null;
let isTouched = false;
let stopCamera = null;
let notice = '';
let draws = 0;

/** A tablet's clock that is off by more is told; milliseconds. */
const clockIsOff = 120000;
/** Now by the server's clock: tablets run wrong. */
const instant = (raw = Date.now()) => raw + (last?.skew ?? 0);
const siteOf = () => last?.snapshot.site;

// ---- network

async function refresh() {
  try {
    const answer = await fetch(`/api/bench${site ? `?site=${encodeURIComponent(site)}` : ''}`, { signal: AbortSignal.timeout(10000) });
    if (answer.status === 401) { network = 'sign-in'; return; }
    if (!answer.ok) { network = answer.status === 404 ? 'sign-in' : 'off'; return; }
    const snapshot = await answer.json();
    last = { snapshot, skew: Date.parse(snapshot.now) - Date.now() };
    site = snapshot.site.code;
    localStorage.setItem('site', site);
    network = 'on';
    if (who !== snapshot.person) { who = snapshot.person; await keep('who', who); }
    await keep(`bench ${site}`, last);
  } catch {
    network = 'off';
  }
}

/** Asks, sends what waits, asks again; then waits the longer the less came of it. */
async function round() {
  clearTimeout(timer);
  await refresh();
  if (network === 'on') {
    const outcome = await send(who);
    if (outcome === 'sent') await refresh();
    else if (outcome === 'offline') network = 'off';
    else if (outcome === 'sign-in') network = 'sign-in';
  }
  pause = network === 'on' ? 15000 : Math.min(pause * 2, 60000);
  await followCode();
  await drawTop();
  if (isQuiet()) await draw(undefined, isQuiet);
  timer = setTimeout(round, pause);
}

const hurry = () => { pause = 2000; return round(); };
/** Nobody is in the middle of something that a new drawing would take away. */
const isQuiet = () => !isTouched && !stopCamera && !editing() && !main.querySelector('details[open]');
const editing = () => main.contains(document.activeElement) && /^(INPUT|SELECT)$/.test(document.activeElement.tagName) && document.activeElement.value !== '';

/** When the lot in view got its code, the address goes with it. */
async function followCode() {
  for (const lot of runningLots().filter(name => name.startsWith('@'))) {
    const answer = await answerTo(lot.slice(1));
    if (answer?.lot) await renameRunning(lot, answer.lot);
  }
  const name = nameInView();
  const answer = name?.startsWith('@') && await answerTo(name.slice(1));

  // Somebody may have gone elsewhere while it was looked up.
  if (answer?.lot && nameInView() === name) history.replaceState(null, '', `#lot/${encodeURIComponent(answer.lot)}`);
}

// ---- recording

/** Keeps an entry on this tablet; it goes out when it can. `raw` is the tablet's own time at which it happened. */
async function record(operation, body, raw, next) {
  const entry = await add({
    site, operation, person: who, at: raw, body: { ...body, happenedAt: siteTime(instant(raw), siteOf()) },
  });
  isTouched = false;
  notice = t('now.kept');
  const lot = operation === 'filling/fill' ? null : body.lot ?? `@${entry.key}`;
  if (!next) go(operation === 'filling/clean-break' || lot === null ? '' : `lot/${encodeURIComponent(lot)}`);
  hurry();
  return entry;
}

function go(hash) {
  isTouched = false;
  if (location.hash.slice(1) === hash) draw(); else location.hash = hash;
}

// ---- drawing

const nameInView = () => /^#lot\//.test(location.hash) ? decodeURIComponent(location.hash.slice(5)) : null;

/** A drawing that nobody asked for is dropped when it is no longer `wanted`: somebody began to type while it was made. */
async function draw(open, wanted = () => true) {
  const turn = ++draws;
  const entries = await allEntries();
  const content = await contentOf(entries, open);
  if (turn !== draws || !wanted()) return;
  stopCamera?.();
  stopCamera = null;
  main.replaceChildren(...content.flat(Infinity).filter(part => part));
  notice = '';
  (main.querySelector('[data-first]') ?? [...main.querySelectorAll('form.record input.number')].find(input => input.value === '' && !input.closest('details')))?.focus({ preventScroll: true });
}

async function contentOf(entries, open) {
  if (!last) return beforeTheFirst();
  const seen = picture(last.snapshot, entries);
  const banner = [
    seen.site.isTraining ? el('aside', { className: 'training', 'aria-label': t('now.training') }, el('p', {}, el('strong', {}, t('now.training')), ' ', t('now.training.text'))) : null,
    notice ? el('p', { className: 'done', role: 'status' }, notice) : null,
  ];
  const [view, ...rest] = location.hash.slice(1).split('/');
  if (view === 'waiting') return [banner, waitingScreen(entries, site, last, again)];
  if (view === 'receive') return [banner, back(), el('h1', {}, t('now.next.receiving/receive')), stepForm('receiving/receive', null, seen)];
  if (view === 'finished') return [banner, back(), finished(decodeURIComponent(rest.join('/')), seen)];
  if (view === 'lot') return [banner, back(), await thing(decodeURIComponent(rest.join('/')), seen, open)];
  return [banner, home(seen, entries)];
}

const again = open => { isTouched = false; return draw(open); };
const back = () => el('p', { className: 'back' }, el('a', { href: '#', className: 'button quiet' }, t('now.back')));

function beforeTheFirst() {
  return [
    el('h1', {}, t('now.title')),
    network === 'sign-in' ? el('p', {}, t('now.sign-in-first')) : el('p', {}, t('now.no-network-yet')),
    el('p', {}, el('a', { className: 'button', href: signInAddress() }, t('now.sign-in'))), languagePicker(again),
  ];
}

const signInAddress = () => `/sign-in?returnUrl=${encodeURIComponent(`/now/${site ? `?site=${site}` : ''}`)}`;

async function drawTop() {
  const entries = await allEntries();
  const waiting = entries.filter(entry => entry.state === 'waiting').length;
  const refused = entries.length - waiting;
  const state = refused > 0 ? t('now.state.refused', refused) : waiting > 0 ? t('now.state.waiting', waiting) : t('now.state.sent');
  top.replaceChildren(...[
    el('p', { className: 'who' }, el('strong', {}, siteOf()?.code ?? ''), ' ', el('span', {}, who ?? '')),
    network === 'sign-in' ? el('a', { href: signInAddress() }, t('now.sign-in')) : null,
    el('a', { className: `button quiet${refused > 0 ? ' is-refused' : ''}`, href: '#waiting' }, network === 'off' ? el('span', {}, t('now.offline')) : null, el('span', {}, state)),
  ].filter(part => part));
}

function home(seen, entries) {
  const input = el('input', { id: 'code', type: 'text', autocomplete: 'off', spellcheck: false, className: 'code-field' });
  input.setAttribute('autocapitalize', 'characters');
  input.dataset.first = '';
  const problem = el('p', { className: 'problem', role: 'status' });
  const view = el('div', { className: 'camera' });
  const found = text => {
    const name = codeOf(text);
    if (name) go(`lot/${encodeURIComponent(name)}`);
    else { problem.textContent = t('now.no-code', text.slice(0, 40)); input.select(); }
  };
  const form = el('form', { className: 'scan', noValidate: true },
    el('label', { htmlFor: 'code' }, t('now.scan')), input, el('button', { type: 'submit', className: 'quiet' }, t('now.find')), problem);
  form.addEventListener('submit', event => { event.preventDefault(); if (input.value.trim()) found(input.value); });
  const refused = entries.filter(entry => entry.state === 'refused').length;
  const may = operation => seen.may.includes(operation);
  return [
    Math.abs(last.skew) > clockIsOff ? el('p', { className: 'notice' }, t('now.clock-off', Math.round(Math.abs(last.skew) / 60000))) : null,
    refused > 0 ? el('div', { className: 'refused', role: 'alert' }, el('p', {}, el('a', { href: '#waiting' }, t('now.state.refused', refused)))) : null,
    el('h1', { className: 'visually-hidden' }, t('now.title')),
    form, button(t('now.camera'), async () => { stopCamera = await scan(view, found); }, 'main-button'), view,
    rows(seen),
    may('receiving/receive') ? el('p', {}, el('a', { className: 'button quiet', href: '#receive' }, t('now.next.receiving/receive'))) : null,
    personPicker(seen, who, network, async name => { who = name; await keep('who', who); drawTop(); again(); }, signInAddress()),
    languagePicker(again),
    el('p', { className: 'small' }, el('a', { href: `/bench?site=${site}` }, t('now.office')), ' · ', t('now.as-of', clock(Date.parse(seen.now), seen.site))),
    el('p', { className: 'small' }, t('now.no-proof')),
  ];
}

/** What can be done, the dryers first. */
function rows(seen) {
  const doable = [...seen.lots.values()].filter(lot => lot.next && seen.may.includes(lot.next));
  const rank = lot => lot.next.startsWith('drying/weigh') ? 0 : lot.next.startsWith('cooling') ? 1 : 2 + places.indexOf(lot.kind);
  doable.sort((one, other) => rank(one) - rank(other) || Date.parse(one.madeAt) - Date.parse(other.madeAt));
  const row = lot => el('li', {}, el('a', { href: `#lot/${encodeURIComponent(lot.lot)}`, className: 'row-link' },
    el('strong', {}, t(`now.next.${lot.next}`)), el('span', {}, nameOf(lot), ` · ${number(lot.massGrams, 1)} g`, lot.dryer && lot.next === 'drying/weigh-out' ? ` · ${lot.dryer}` : ''),
    runningLots().includes(lot.lot) ? face(lot.lot) : null));
  if (doable.length === 0) return el('p', { className: 'empty' }, t('now.nothing'));
  return [
    el('h2', {}, t('now.to-do')), el('ul', { className: 'rows' }, doable.slice(0, 8).map(row)),
    doable.length > 8 ? el('details', {}, el('summary', {}, t('now.more', doable.length - 8)), el('ul', { className: 'rows' }, doable.slice(8).map(row))) : null,
  ];
}

/** A lot without a code yet is called by what it is and when it was made. */
const nameOf = lot => lot.lot.startsWith('@') ? t('now.new-lot', t(`now.kind.${lot.kind}`), clock(Date.parse(lot.madeAt), siteOf())) : code(lot.lot);

async function thing(name, seen, open) {
  const lot = find(name, seen);
  if (!lot) return seen.containers.has(name) ? emptyContainer(name, seen) : unknown(name);
  const head = [
    el('h1', {}, nameOf(lot)),
    el('p', { className: 'lead' }, t(`now.kind.${lot.kind}`), ` · ${number(lot.massGrams, 1)} g`, lot.packs ? ` · ${t('now.packs', lot.packs)}` : '', lot.container ? ` · ${lot.container}` : ''),
    lot.coreCelsius !== undefined && lot.kind === 'dried' ? el('p', { className: 'figure' }, t('now.core-at', number(lot.coreCelsius, 1), clock(Date.parse(lot.coreAt), siteOf()))) : null,
    lot.isUnjudged ? el('p', { className: 'notice' }, t('now.unjudged')) : null,
    holdList(lot.holds, instant(), siteOf()),
  ];
  return [head, await next(lot, seen, open), lot.lot.startsWith('@') ? null
    : el('p', { className: 'small about' }, el('a', { href: `/sites/${site}/lots/${encodeURIComponent(lot.lot)}` }, t('now.about')))];
}

/** By its code, or by the container that it stands in; a lot mark may have been typed with its L. */
function find(name, seen) {
  const inside = seen.containers.get(name)?.lot;
  return seen.lots.get(name) ?? (inside && seen.lots.get(inside)) ?? (name.startsWith('L') ? seen.lots.get(name.slice(1)) : undefined);
}

async function next(lot, seen, open) {
  const operation = lot.next;
  if (!operation) return el('p', { className: 'notice' }, lot.isUnjudged && network !== 'on' ? t('now.wait-for-network') : lot.holds.length > 0 ? t('now.nothing-held') : t('now.nothing-now'));
  if (!seen.may.includes(operation)) return el('p', { className: 'notice' }, t('now.not-yours'));
  const title = el('h2', { id: 'next' }, t(`now.next.${operation}`));
  if (operation === 'drying/weigh-out') {
    const parts = dryerScreen(lot, seen, record, again);
    const weighing = open === 'weigh-out' && parts.find(part => part?.id === 'weigh-out');
    if (!weighing) return [title, parts];
    weighing.open = true;
    return [title, weighing, parts.filter(part => part !== weighing)];
  }
  if (operation === 'sanitising/run') return [title, await sanitisingScreen(lot, seen, instant, siteOf(), record)];
  if (!steps[operation]) {
    return [title, network === 'on'
      ? el('p', {}, el('a', { className: 'button main-button', href: `/sites/${site}/record/${operation}?lot=${encodeURIComponent(lot.lot)}` }, t(`now.next.${operation}`)))
      : el('p', { className: 'notice' }, t('now.needs-network'))];
  }
  const usual = operation === 'drying/start' && steps.finished(lot, seen, instant(), siteOf());
  return [title, stepForm(operation, lot, seen), usual ? el('p', {}, el('a', { className: 'button quiet', href: `#finished/${encodeURIComponent(lot.lot)}` }, t('now.finished'))) : null];
}

function stepForm(operation, lot, seen) {
  const step = steps[operation](lot, seen);
  return formOf(step, (values, minutes) => record(operation, step.build(values), Date.now() - minutes * 60000));
}

function finished(name, seen) {
  const lot = find(name, seen);
  const step = lot && steps.finished(lot, seen, instant(), siteOf());
  if (!step) return unknown(name);
  const skew = instant() - Date.now();
  return [el('h1', {}, t('now.finished')), el('p', { className: 'lead' }, nameOf(lot)), formOf({ ...step, isNow: true }, async values => {
    let start = null;
    for (const entry of step.entries(values, '@')) {
      const body = start ? { ...entry.body, lot: `@${start.key}` } : entry.body;
      const made = await add({ site, operation: entry.operation, person: who, at: entry.at - skew, body: { ...body, happenedAt: siteTime(entry.at, siteOf()) } });
      start ??= made;
    }
    notice = t('now.kept');
    go(`lot/${encodeURIComponent(`@${start.key}`)}`);
    hurry();
  })];
}

const emptyContainer = (name, seen) => [
  el('h1', {}, code(name)), el('p', { className: 'lead' }, t('now.container.empty')), el('p', {}, t('now.container.fill')),
  rows({ ...seen, lots: new Map([...seen.lots].filter(([, lot]) => lot.next === 'filling/fill')) }),
];

const unknown = name => [
  el('h1', {}, code(name)), el('p', { className: 'notice' }, t('now.unknown', name)),
  network === 'on' ? el('p', {}, el('a', { className: 'button quiet', href: `/sites/${site}/lots/${encodeURIComponent(name)}` }, t('now.look-up'))) : null,
];

// ---- beginning

main.addEventListener('input', () => { isTouched = true; });
addEventListener('hashchange', () => { isTouched = false; draw(); });
addEventListener('online', hurry);
addEventListener('phase', () => { if (isQuiet()) draw(undefined, isQuiet); });
document.addEventListener('visibilitychange', () => { if (document.visibilityState === 'visible') hurry(); });
heard(async () => { await drawTop(); if (isQuiet() && location.hash === '#waiting') draw(undefined, isQuiet); });

// A scanner types fast and ends with Enter, wherever the focus is: what it types belongs in the field.
document.addEventListener('keydown', event => {
  const field = document.getElementById('code');
  if (field && event.key.length === 1 && !event.ctrlKey && !event.metaKey && !/^(INPUT|SELECT|TEXTAREA)$/.test(document.activeElement?.tagName ?? '')) field.focus();
});

await loadWords(chosenLanguage());
who = await kept('who') ?? null;
last = site ? await kept(`bench ${site}`) ?? null : null;
await loadRunning();
await drawTop();
await draw();
navigator.storage?.persist?.();
if (navigator.serviceWorker) navigator.serviceWorker.register('/now/worker.js').catch(() => {});
await round();
