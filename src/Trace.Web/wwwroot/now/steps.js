// What is asked for each step, and the entry that comes of it. A number that was usual stands in its field already.
import { t, number, clock } from './words.js';

const mass = (label, preset, hint) => ({ kind: 'number', label, unit: 'g', preset, hint, above: 0 });
const celsius = (label, preset) => ({ kind: 'number', label, unit: '°C', preset });
const optional = field => ({ ...field, optional: true });
const instrument = seen => optional({ kind: 'text', label: t('now.field.instrument'), list: seen.habits.instruments });

/** How a batch looks and feels: one touch for both questions. */
export const dryness = () => ({
  kind: 'choice', label: t('now.field.dry'),
  options: [['both', t('now.dry.both')], ['puffed', t('now.dry.puffed')], ['crumbles', t('now.dry.crumbles')], ['neither', t('now.dry.neither')]],
});
export const readDryness = value => ({ puffed: ['both', 'puffed'].includes(value), crumbles: ['both', 'crumbles'].includes(value) });

const habitOf = (seen, dryer) => seen.habits.dryers.find(one => one.dryer === dryer);

/** By operation: a function of the lot and the bench. `build` gives one body, or several entries in order. */
export const steps = {
  'receiving/receive': (_, seen) => ({
    fields: {
      supplier: { kind: 'text', label: t('now.field.supplier'), list: seen.habits.suppliers, preset: seen.habits.suppliers[0] },
      massGrams: mass(t('now.field.mass')),
    },
    say: values => t('now.say.receive', number(values.massGrams)),
    build: values => values,
  }),

  'drying/start': (lot, seen) => ({
    caution: t('now.caution.drying'),
    fields: {
      massGrams: mass(t('now.field.mass-in'), lot.massGrams),
      dryer: { kind: 'text', label: t('now.field.dryer'), list: seen.habits.dryers.map(one => one.dryer), preset: seen.habits.dryers[0]?.dryer },
      powerWatts: { kind: 'number', label: t('now.field.power'), unit: 'W', preset: seen.habits.dryers[0]?.powerWatts, above: 0 },
    },
    say: values => t('now.say.start', number(values.massGrams), values.dryer),
    build: values => ({ inputs: [{ lot: lot.lot, massGrams: values.massGrams }], dryer: values.dryer, powerWatts: values.powerWatts }),
  }),

  'cooling/reading': (lot, seen) => ({
    caution: t('now.caution.hot'),
    fields: { coreCelsius: celsius(t('now.field.core')), roomCelsius: celsius(t('now.field.room'), seen.habits.roomCelsius), instrument: instrument(seen) },
    say: values => t('now.say.reading', number(values.coreCelsius)),
    build: values => ({ lot: lot.lot, ...values }),
  }),

  'filling/fill': (lot, seen) => ({
    caution: t('now.caution.dust'),
    fields: {
      container: { kind: 'code', label: t('now.field.container'), list: [...seen.containers.keys()] },
      massGrams: mass(t('now.field.mass'), lot.massGrams),
    },
    say: values => t('now.say.fill', number(values.massGrams), values.container),
    build: values => ({ container: values.container, inputs: [{ lot: lot.lot, massGrams: values.massGrams }] }),
  }),

  'filling/clean-break': lot => ({
    hint: t('now.clean-break.hint'),
    fields: {},
    say: () => t('now.say.clean-break', lot.container),
    build: () => ({ container: lot.container }),
  }),

  'packing/pack': (lot, seen) => {
    const product = seen.habits.products.find(one => one.product === lot.product) ?? seen.habits.products[0];
    const sizes = product?.packSizesGrams ?? [];
    return {
      caution: t('now.caution.dust'),
      fields: {
        packs: { kind: 'number', label: t('now.field.packs'), above: 0, whole: true },
        netMassGrams: sizes.length > 0
          ? { kind: 'choice', label: t('now.field.net-mass'), options: sizes.map(size => [size, `${number(size)} g`]), preset: sizes[0], isNumber: true }
          : mass(t('now.field.net-mass')),
        takenGrams: optional(mass(t('now.field.taken'), undefined, t('now.field.taken.hint'))),
      },
      say: values => t('now.say.pack', number(values.packs), number(values.netMassGrams)),
      build: values => ({
        inputs: [{ lot: lot.lot, massGrams: values.takenGrams ?? round(values.packs * values.netMassGrams) }],
        product: product?.product, packs: values.packs, netMassGrams: values.netMassGrams,
      }),
    };
  },

  'drying/weigh-out': (lot, seen) => ({
    caution: t('now.caution.hot'),
    fields: { massOutGrams: mass(t('now.field.mass-out')), dry: dryness(), coreCelsius: optional(celsius(t('now.field.core'))) },
    say: values => t('now.say.weigh-out', number(values.massOutGrams)),
    build: ({ dry, ...values }) => ({ lot: lot.lot, ...values, ...readDryness(dry) }),
    note: values => values.massOutGrams > 0 && lot.massGrams > 0 ? t('now.yield', number(values.massOutGrams / lot.massGrams * 100, 1)) : '',
  }),

  /** A whole batch that ran as the last one did, written down when it is done. */
  finished: (lot, seen, instant, site) => {
    const usual = seen.habits.dryers.find(one => one.cycles > 0 && one.seconds > 0);
    if (!usual) return null;
    const length = usual.cycles * usual.seconds + usual.cycles * usual.ventSeconds;
    const begin = instant - length * 1000;
    return {
      caution: t('now.caution.hot'),
      hint: t('now.finished.hint', usual.dryer, number(usual.powerWatts), usual.cycles, usual.seconds, usual.ventSeconds, clock(begin, site), clock(instant, site)),
      fields: { massGrams: mass(t('now.field.mass-in'), lot.massGrams), massOutGrams: mass(t('now.field.mass-out')), dry: dryness() },
      say: values => t('now.say.finished', number(values.massGrams), number(values.massOutGrams)),
      note: values => values.massOutGrams > 0 && values.massGrams > 0 ? t('now.yield', number(values.massOutGrams / values.massGrams * 100, 1)) : '',
      entries: (values, startKey) => [
        { operation: 'drying/start', at: begin, body: { inputs: [{ lot: lot.lot, massGrams: values.massGrams }], dryer: usual.dryer, powerWatts: usual.powerWatts } },
        ...Array.from({ length: usual.cycles }, (_, place) => ({
          operation: 'drying/cycle',
          at: begin + ((place + 1) * usual.seconds + place * usual.ventSeconds) * 1000,
          body: { lot: startKey, seconds: usual.seconds, ventSeconds: usual.ventSeconds },
        })),
        { operation: 'drying/weigh-out', at: instant, body: { lot: startKey, massOutGrams: values.massOutGrams, ...readDryness(values.dry) } },
      ],
    };
  },
};

const round = value => Math.round(value * 1000) / 1000;

/** What a new cycle on this dryer usually takes. */
export const usualCycle = (seen, dryer) => {
  const habit = habitOf(seen, dryer);
  return { seconds: habit?.seconds || 90, ventSeconds: habit?.ventSeconds || 30 };
};
