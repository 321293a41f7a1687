// A batch in the dryer: cycles and vent pauses count down; each cycle is recorded when somebody says that it was vented.
import { el, button, textField } from './elements.js';
import { t, number, parseNumber, countdown } from './words.js';
import { keep, forget, kept } from './store.js';
import { ready, ring, stayAwake } from './alarm.js';
import { formOf } from './form.js';
import { steps, usualCycle } from './steps.js';

/** What runs on this tablet, by lot: { phase: 'heat' | 'vent', since, seconds, ventSeconds, heated }. Times are instants: a reload loses nothing. */
let running = {};

export async function loadRunning() {
  running = await kept('running') ?? {};
  watch();
}

export const runningLots = () => Object.keys(running);

/** A lot that had no code yet has one now. */
export async function renameRunning(from, to) {
  if (!running[from]) return;
  running[to] = running[from];
  await set(from, null);
}

async function set(lot, state) {
  if (state) running[lot] = state; else delete running[lot];
  await keep('running', running);
  watch();
}

/** Where a running batch stands: what is left of its phase, in seconds; the heat ends by itself, the vent pause when somebody says so. */
function phaseOf(state, now) {
  const gone = (now - state.since) / 1000;
  return state.phase === 'heat' ? { name: 'heat', left: state.seconds - gone } : { name: 'vent', left: state.ventSeconds - gone };
}

let ticking = null;
const faces = new Set();

/** A line that shows what runs for a lot, kept up to date as long as it is on the screen. */
export function face(lot, className = 'face') {
  const made = el('output', { className, role: 'timer' });
  const show = () => {
    const state = running[lot];
    if (!state) { made.textContent = ''; return; }
    const { name, left } = phaseOf(state, Date.now());
    made.textContent = `${t(`now.phase.${name}`)} ${countdown(left)}`;
    made.classList.toggle('is-over', left <= 0);
  };
  faces.add({ made, show });
  show();
  return made;
}

function watch() {
  clearInterval(ticking);
  ticking = null;
  stayAwake(runningLots().length > 0);
  if (runningLots().length > 0) ticking = setInterval(tick, 250);
}

function tick() {
  for (const one of faces) if (one.made.isConnected) one.show(); else faces.delete(one);
  for (const [lot, state] of Object.entries(running)) {
    const { name, left } = phaseOf(state, Date.now());
    if (left > 0 || state.rung === name) continue;
    if (name === 'heat') set(lot, { ...state, phase: 'vent', since: state.since + state.seconds * 1000, heated: state.seconds, rung: 'heat' });
    else set(lot, { ...state, rung: 'vent' });
    ring();
    dispatchEvent(new CustomEvent('phase', { detail: lot }));
  }
}

document.addEventListener('visibilitychange', () => stayAwake(runningLots().length > 0));

/**
 * The screen of a batch in the dryer.
 * @param record called with operation, body and the instant it happened; @param again draws the screen anew
 */
export function dryerScreen(lot, seen, record, again) {
  const state = running[lot.lot];
  if (!state) return idle(lot, seen, record, again);
  return phaseOf(state, Date.now()).name === 'heat' ? heating(lot, state, again) : venting(lot, state, record, again);
}

const stillToLose = (lot, grams) => lot.targetGrams && grams
  ? grams > lot.targetGrams ? t('now.still-to-lose', number(grams - lot.targetGrams, 1)) : t('now.at-target') : '';

function idle(lot, seen, record, again) {
  const usual = usualCycle(seen, lot.dryer);
  const seconds = textField(t('now.field.seconds'), { number: true, unit: 's', value: String(usual.seconds) });
  const vent = textField(t('now.field.vent'), { number: true, unit: 's', value: String(usual.ventSeconds) });
  const start = el('button', { type: 'submit', className: 'main-button' });
  const name = () => { start.textContent = t('now.say.cycle', (lot.cycles ?? 0) + 1, parseNumber(seconds.read()) ?? '?'); };
  name();
  const form = el('form', { className: 'record', noValidate: true },
    el('p', { className: 'figure' }, stillToLose(lot, lot.lastGrams ?? lot.massGrams)), start,
    el('details', {}, el('summary', {}, t('now.other-times')), seconds.element, vent.element),
    el('p', { className: 'caution' }, t('now.caution.drying')));
  form.addEventListener('input', name);
  form.addEventListener('submit', async event => {
    event.preventDefault();
    const [heat, pause] = [parseNumber(seconds.read()), parseNumber(vent.read())];
    seconds.complain(heat > 0 && Number.isInteger(heat) ? '' : t('now.wrong.whole'));
    vent.complain(pause >= 0 && Number.isInteger(pause) ? '' : t('now.wrong.whole'));
    if (!(heat > 0 && pause >= 0 && Number.isInteger(heat) && Number.isInteger(pause))) return;
    ready();
    await set(lot.lot, { phase: 'heat', since: Date.now(), seconds: heat, ventSeconds: pause });
    again();
  });
  return [form, (lot.cycles ?? 0) > 0 || lot.lastGrams ? weighOut(lot, seen, record) : null];
}

const weighOut = (lot, seen, record) => el('details', { className: 'second', id: 'weigh-out' }, el('summary', {}, t('now.weigh-out')),
  formOf(steps['drying/weigh-out'](lot, seen), (values, minutes) => record('drying/weigh-out', steps['drying/weigh-out'](lot, seen).build(values), Date.now() - minutes * 60000)));

function heating(lot, state, again) {
  return [
    face(lot.lot, 'face large'),
    el('p', { className: 'caution' }, t('now.caution.drying')),
    button(t('now.stopped-early'), async () => {
      const heated = Math.max(1, Math.round((Date.now() - state.since) / 1000));
      await set(lot.lot, { ...state, phase: 'vent', since: Date.now(), heated, rung: 'heat' });
      again();
    }, 'quiet'),
  ];
}

function venting(lot, state, record, again) {
  const grams = textField(`${t('now.field.mass-now')} (${t('now.optional')})`, { number: true, unit: 'g' });
  const live = el('p', { className: 'figure', role: 'status' });
  grams.input.addEventListener('input', () => {
    const value = parseNumber(grams.read());
    live.textContent = value > 0 ? stillToLose(lot, value) : '';
  });
  const finish = async next => {
    const value = grams.read() === '' ? undefined : parseNumber(grams.read());
    if (value === null || value <= 0) { grams.complain(t('now.wrong.number')); grams.input.focus(); return; }
    ready();
    const vented = Math.round((Date.now() - state.since) / 1000);
    await set(lot.lot, next === 'heat' ? { phase: 'heat', since: Date.now(), seconds: state.seconds, ventSeconds: state.ventSeconds } : null);
    await record('drying/cycle', { lot: lot.lot, seconds: state.heated, ventSeconds: Math.min(vented, 3600), ...(value ? { massGrams: value } : {}) }, state.since, next);
    again(next);
  };
  return [
    face(lot.lot, 'face large'),
    el('p', { className: 'caution' }, t('now.caution.steam')),
    grams.element, live,
    button(t('now.next-cycle', state.seconds), () => finish('heat'), 'main-button'),
    button(t('now.enough'), () => finish('weigh-out'), 'main-button quiet'),
  ];
}

export const forgetRunning = lot => running[lot] ? set(lot, null) : forget('nothing');
