// The bench as it is: what the server last said, and on top of it what this tablet has recorded since.

/** Of all lots and containers with the waiting entries in. Lots that have no code yet are named `@key`. */
export function picture(snapshot, entries) {
  const seen = {
    ...snapshot,
    lots: new Map(snapshot.lots.map(lot => [lot.lot, { ...lot }])),
    containers: new Map(snapshot.containers.map(one => [one.container, { ...one }])),
  };
  for (const entry of entries.filter(one => one.state === 'waiting' && one.site === snapshot.site.code)) effects[entry.operation]?.(seen, entry);
  return seen;
}

/** The name that a lot has until the server gave it its code. */
const fresh = (seen, entry, facts) => seen.lots.set(`@${entry.key}`, {
  lot: `@${entry.key}`, madeAt: entry.body.happenedAt, holds: [], place: '', isUnjudged: true, ...facts,
});

function take(seen, inputs) {
  for (const input of inputs) {
    const lot = seen.lots.get(input.lot);
    if (!lot) continue;
    lot.massGrams = Math.max(0, Math.round((lot.massGrams - input.massGrams) * 1000) / 1000);
    if (lot.massGrams === 0 && lot.kind !== 'bulk') seen.lots.delete(input.lot);
  }
}

const massOf = inputs => inputs.reduce((sum, input) => sum + input.massGrams, 0);

const effects = {
  'receiving/receive': (seen, entry) => fresh(seen, entry, { kind: 'harvest', massGrams: entry.body.massGrams, next: 'sanitising/run' }),
  'sanitising/run': (seen, entry) => {
    take(seen, entry.body.inputs);
    fresh(seen, entry, { kind: 'sanitised', massGrams: entry.body.massOutGrams, next: 'drying/start' });
  },
  'drying/start': (seen, entry) => {
    take(seen, entry.body.inputs);
    const mass = massOf(entry.body.inputs);
    fresh(seen, entry, {
      kind: 'dried', massGrams: mass, next: 'drying/weigh-out', dryer: entry.body.dryer, powerWatts: entry.body.powerWatts, cycles: 0,
      targetGrams: seen.habits.targetShare && mass * seen.habits.targetShare,
    });
  },
  'drying/cycle': (seen, entry) => {
    const lot = seen.lots.get(entry.body.lot);
    if (!lot) return;
    lot.cycles = (lot.cycles ?? 0) + 1;
    lot.next = 'drying/weigh-out';
    if (entry.body.massGrams) lot.lastGrams = entry.body.massGrams;
  },
  'drying/weigh-out': (seen, entry) => {
    const lot = seen.lots.get(entry.body.lot);
    if (lot) Object.assign(lot, { massGrams: entry.body.massOutGrams, next: 'cooling/reading', isUnjudged: true, holds: [] });
  },
  'cooling/reading': (seen, entry) => {
    const lot = seen.lots.get(entry.body.lot);
    if (lot) Object.assign(lot, { coreCelsius: entry.body.coreCelsius, coreAt: entry.body.happenedAt, isUnjudged: true, holds: [], next: 'cooling/reading' });
  },
  'filling/fill': (seen, entry) => {
    take(seen, entry.body.inputs);
    const inside = seen.containers.get(entry.body.container)?.lot;
    const lot = inside && seen.lots.get(inside);
    if (lot) Object.assign(lot, { massGrams: lot.massGrams + massOf(entry.body.inputs), isUnjudged: true });
    else {
      fresh(seen, entry, { kind: 'bulk', massGrams: massOf(entry.body.inputs), container: entry.body.container, next: null });
      seen.containers.set(entry.body.container, { container: entry.body.container, lot: `@${entry.key}` });
    }
  },
  'filling/clean-break': (seen, entry) => {
    const inside = seen.containers.get(entry.body.container)?.lot;
    if (inside) seen.lots.delete(inside);
    seen.containers.set(entry.body.container, { container: entry.body.container });
  },
  'packing/pack': (seen, entry) => {
    take(seen, entry.body.inputs);
    fresh(seen, entry, { kind: 'packed', massGrams: entry.body.packs * entry.body.netMassGrams, packs: entry.body.packs, product: entry.body.product, next: null });
  },
};
