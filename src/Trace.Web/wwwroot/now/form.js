// A form of few fields. The button says what will be recorded, so that a slipped comma is seen before it counts.
import { el, textField, choiceField } from './elements.js';
import { t, parseNumber } from './words.js';

/**
 * @param step what to ask, see steps.js
 * @param take called with the values and the minutes since it happened
 */
export function formOf(step, take) {
  const made = Object.entries(step.fields).map(([name, spec]) => ({ name, spec, ...fieldOf(spec) }));
  const earlier = textField(t('now.field.minutes-ago'), { number: true, unit: 'min' });
  const late = step.isNow ? null : el('details', {}, el('summary', {}, t('now.earlier')), earlier.element);
  const send = el('button', { type: 'submit', className: 'main-button' });
  const note = el('p', { className: 'note', role: 'status' });
  const form = el('form', { className: 'record', noValidate: true },
    step.hint ? el('p', { className: 'hint' }, step.hint) : null, made.map(field => field.element), late,
    step.caution ? el('p', { className: 'caution' }, step.caution) : null, note, send);

  const values = () => Object.fromEntries(made.map(field => [field.name, valueOf(field)]).filter(([, value]) => value !== undefined));
  const show = () => {
    const now = values();
    const isWhole = made.every(field => field.spec.optional || now[field.name] !== undefined);
    send.textContent = isWhole ? step.say(now) : t('now.record');
    note.textContent = step.note?.(now) ?? '';
  };
  form.addEventListener('input', show);
  form.addEventListener('submit', event => {
    event.preventDefault();
    const wrong = made.filter(field => { const problem = problemOf(field); field.complain(problem); return problem !== ''; });
    const minutes = earlier.read() === '' ? 0 : parseNumber(earlier.read());
    earlier.complain(minutes === null || minutes < 0 ? t('now.wrong.number') : '');
    if (wrong.length > 0 || minutes === null || minutes < 0) { (wrong[0] ?? earlier).input.focus(); return; }
    send.disabled = true;
    take(values(), minutes);
  });
  show();
  return form;
}

function fieldOf(spec) {
  const label = spec.optional ? `${spec.label} (${t('now.optional')})` : spec.label;
  if (spec.kind === 'choice') return choiceField(label, spec.options, spec.preset ?? null);
  return textField(label, {
    number: spec.kind === 'number', unit: spec.unit, hint: spec.hint, list: spec.list,
    value: spec.preset === undefined || spec.preset === null ? '' : spec.kind === 'number' ? parseBack(spec.preset) : spec.preset,
  });
}

const parseBack = value => String(value).replace('.', t('$decimal'));

/** Undefined while it is empty or wrong. */
function valueOf({ spec, read }) {
  const text = read();
  if (text === null || text === '') return undefined;
  if (spec.kind === 'number' || spec.isNumber) return spec.isNumber ? Number(text) : parseNumber(text) ?? undefined;
  return spec.kind === 'code' ? text.toUpperCase() : text;
}

function problemOf({ spec, read }) {
  const text = read();
  if (text === null || text === '') return spec.optional ? '' : t('now.wrong.missing');
  if (spec.kind !== 'number') return '';
  const value = parseNumber(text);
  if (value === null) return t('now.wrong.number');
  if (spec.above !== undefined && value <= spec.above) return t('now.wrong.above', spec.above);
  return spec.whole && !Number.isInteger(value) ? t('now.wrong.whole') : '';
}
