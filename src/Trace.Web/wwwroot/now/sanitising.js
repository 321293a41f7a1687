// A sanitising run: core readings as they are taken, each with its time; a closed tab loses none.
import { el, button, textField } from './elements.js';
import { t, number, parseNumber, clock } from './words.js';
import { keep, forget, kept } from './store.js';
import { formOf } from './form.js';

export async function sanitisingScreen(lot, seen, instant, site, record) {
  const name = `readings ${lot.lot}`;
  let readings = await kept(name) ?? [];
  const list = el('ol', { className: 'readings' });
  const core = textField(t('now.field.core'), { number: true, unit: '°C' });
  const show = () => list.replaceChildren(...readings.map(reading => el('li', {}, `${clock(reading.at, site)}:${new Date(reading.at).toISOString().slice(17, 19)}`, ' ', el('strong', {}, `${number(reading.coreCelsius)} °C`))));
  const add = el('form', { className: 'record', noValidate: true }, core.element, el('button', { type: 'submit', className: 'main-button' }, t('now.add-reading')));
  add.addEventListener('submit', async event => {
    event.preventDefault();
    const value = parseNumber(core.read());
    core.complain(value === null ? t('now.wrong.number') : '');
    if (value === null) { core.input.focus(); return; }
    core.input.value = '';
    core.input.focus();
    readings = [...readings, { at: instant(), coreCelsius: value }];
    show();
    await keep(name, readings);
  });
  const undo = button(t('now.undo-reading'), async () => { readings = readings.slice(0, -1); await keep(name, readings); show(); }, 'quiet');
  show();
  const step = {
    isNow: true,
    fields: {
      massGrams: { kind: 'number', label: t('now.field.mass-in'), unit: 'g', preset: lot.massGrams, above: 0 },
      massOutGrams: { kind: 'number', label: t('now.field.mass-drained'), unit: 'g', above: 0 },
      instrument: { kind: 'text', label: t('now.field.instrument'), list: seen.habits.instruments, optional: true },
    },
    caution: t('now.caution.scald'),
    say: values => t('now.say.sanitise', number(values.massOutGrams)),
  };
  return [
    el('p', { className: 'hint' }, t('now.readings.hint')), list, add, undo,
    el('details', { className: 'second' }, el('summary', {}, t('now.run-over')), formOf(step, async values => {
      await record('sanitising/run', {
        inputs: [{ lot: lot.lot, massGrams: values.massGrams }], method: seen.habits.method ?? 'hot-water',
        readings: readings.map(reading => ({ at: new Date(reading.at).toISOString(), coreCelsius: reading.coreCelsius })),
        massOutGrams: values.massOutGrams, ...(values.instrument ? { instrument: values.instrument } : {}),
      }, Date.now());
      await forget(name);
    })),
  ];
}
