// What stands around the work: who has the tablet, its language, and what waits to be sent.
import { el, button, code, textField } from './elements.js';
import { t, has, number, parseNumber, clock, languages, loadWords, chosenLanguage, unreviewed } from './words.js';
import { dropEntry, putEntry } from './store.js';

const names = { en: 'English', fr: 'Français', es: 'Español', id: 'Bahasa Indonesia', sw: 'Kiswahili' };

export function languagePicker(again) {
  const select = el('select', { id: 'language' }, languages.map(one => el('option', { value: one, lang: one, selected: one === chosenLanguage() }, names[one])));
  select.addEventListener('change', async () => {
    localStorage.setItem('language', select.value);
    await loadWords(select.value).catch(() => {});
    again();
  });
  return el('div', { className: 'field' }, el('label', { htmlFor: 'language' }, t('now.language')), select, unreviewed() ? el('p', { className: 'small' }, unreviewed()) : null);
}

/** With a network people sign in. Without one they say who they are, and what they record waits until they do. */
export function personPicker(seen, who, network, choose, signIn) {
  if (network === 'on') return el('p', { className: 'small' }, t('now.you-are', who), ' ', el('a', { href: signIn }, t('now.not-you')));
  const people = [...new Set([who, ...seen.people])].filter(name => name);
  if (people.length < 2) return el('p', { className: 'small' }, t('now.you-are', who));
  const select = el('select', { id: 'person' }, people.map(name => el('option', { value: name, selected: name === who }, name)));
  select.addEventListener('change', () => choose(select.value));
  return el('div', { className: 'field' }, el('label', { htmlFor: 'person' }, t('now.person')), select, el('p', { className: 'hint' }, t('now.person.hint')));
}

export function waitingScreen(entries, site, last, again) {
  const waiting = entries.filter(entry => entry.state === 'waiting');
  const refused = entries.filter(entry => entry.state === 'refused');
  return [
    el('p', { className: 'back' }, el('a', { href: '#', className: 'button quiet' }, t('now.back'))),
    el('h1', {}, t('now.waiting.title')),
    refused.length > 0 ? el('h2', {}, t('now.state.refused', refused.length)) : null,
    el('ul', { className: 'plain' }, refused.map(entry => refusedEntry(entry, last, again))),
    el('h2', {}, t('now.state.waiting', waiting.length)),
    waiting.length === 0 ? el('p', { className: 'empty' }, t('now.state.sent')) : el('p', { className: 'hint' }, t('now.waiting.hint')),
    el('ol', { className: 'plain' }, waiting.map(entry => el('li', {}, line(entry, last)))),
    entries.length > 0 ? button(t('now.waiting.save'), () => save(entries), 'quiet') : null,
  ];
}

const line = (entry, last) => [
  el('strong', {}, has(`now.next.${entry.operation}`) ? t(`now.next.${entry.operation}`) : entry.operation), ' ',
  about(entry), ` · ${clock(Date.parse(entry.body.happenedAt), last?.snapshot.site)} · ${entry.person}`,
];

const about = entry => {
  const name = entry.body.lot ?? entry.body.container ?? entry.body.inputs?.[0]?.lot ?? '';
  return name.startsWith('@') ? '' : code(name);
};

function refusedEntry(entry, last, again) {
  const problem = entry.problem ?? {};
  const sure = el('div', { className: 'actions' });
  sure.append(
    button(t('now.refused.again'), async () => { await putEntry({ ...entry, state: 'waiting', problem: undefined }); dispatchEvent(new Event('online')); again(); }),
    button(t('now.refused.drop'), () => sure.replaceChildren(
      el('p', {}, t('now.refused.sure')),
      button(t('now.refused.drop'), async () => { await dropEntry(entry.seq); dispatchEvent(new Event('online')); again(); }, 'danger'),
      button(t('now.refused.keep'), () => again(), 'quiet')), 'danger'));
  return el('li', { className: 'refused' },
    el('p', {}, line(entry, last)),
    el('p', { lang: problem.code === 'now.depends' ? undefined : 'en' }, problem.code === 'now.depends' ? t('now.depends') : problem.detail ?? problem.title ?? ''),
    ...(problem.holds ?? []).map(hold => el('p', {}, el('strong', {}, has(`now.hold.${hold.rule}`) ? t(`now.hold.${hold.rule}`) : hold.rule), ' ', el('span', { lang: 'en' }, `${hold.reason} ${hold.clears}`))),
    ...(problem.errors ? Object.entries(problem.errors).map(([field, texts]) => el('p', { lang: 'en' }, `${field}: ${[].concat(texts).join(' ')}`)) : []),
    changeForm(entry, again), sure);
}

const fieldWords = {
  massGrams: 'now.field.mass', massOutGrams: 'now.field.mass-out', coreCelsius: 'now.field.core', roomCelsius: 'now.field.room', packs: 'now.field.packs',
  netMassGrams: 'now.field.net-mass', supplier: 'now.field.supplier', dryer: 'now.field.dryer', powerWatts: 'now.field.power', seconds: 'now.field.seconds',
  ventSeconds: 'now.field.vent', container: 'now.field.container', instrument: 'now.field.instrument',
};

/** The places of a body where a number or a text stands that somebody may have told wrongly. */
function* placesOf(body) {
  for (const [name, value] of Object.entries(body)) {
    if (fieldWords[name] && ['number', 'string'].includes(typeof value)) yield { holder: body, name, value };
    if (name === 'inputs') for (const input of value) yield* placesOf(input);
  }
}

/** All that was told stands in the fields, to be changed and sent again under the same key: nothing was recorded under it. */
function changeForm(entry, again) {
  const body = structuredClone(entry.body);
  const places = [...placesOf(body)].map(place => {
    const isNumber = typeof place.value === 'number';
    return { ...place, isNumber, ...textField(t(fieldWords[place.name]), { number: isNumber, value: isNumber ? number(place.value) : place.value }) };
  });
  if (places.length === 0) return null;
  const form = el('form', { className: 'record', noValidate: true }, places.map(place => place.element), el('button', { type: 'submit' }, t('now.refused.change')));
  form.addEventListener('submit', async event => {
    event.preventDefault();
    const wrong = places.filter(place => {
      const value = place.isNumber ? parseNumber(place.read()) : place.read();
      const isBad = value === null || value === '';
      place.complain(isBad ? t('now.wrong.number') : '');
      if (!isBad) place.holder[place.name] = value;
      return isBad;
    });
    if (wrong.length > 0) { wrong[0].input.focus(); return; }
    await putEntry({ ...entry, body, state: 'waiting', problem: undefined });
    dispatchEvent(new Event('online'));
    again();
  });
  return el('details', {}, el('summary', {}, t('now.refused.change')), form);
}

function save(entries) {
  const link = el('a', { href: URL.createObjectURL(new Blob([JSON.stringify(entries, null, 1)], { type: 'application/json' })), download: 'waiting.json' });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10000);
}
