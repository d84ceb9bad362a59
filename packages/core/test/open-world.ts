import { LEAST_USEFUL } from '@fillwright/core/decide';
import { type AnyRow, type Fleet, newRow, rowsOf, type TableName } from '@fillwright/core/fleet';
import { seeded, smallWorld } from './small-world.ts';

const SIZES = [40_000_000, 60_000_000, 80_000_000];

/** The hours of open worlds begin and end on these minutes. */
export const OPEN_STEP = 240;

/**
 * A small world in which most people may draw at most times, everything is of few sizes, and each driver and vehicle has a card: where many
 * limits meet and many are equal. In the random fleets of `smallWorld` one point in a hundred is open.
 */
export function openWorld(seed: number): Fleet {
  const { fleet } = smallWorld(seed);
  const random = seeded(seed + 4_000_000);
  const chance = (p: number) => random() < p;
  const below = (n: number) => Math.floor(random() * n);
  const pick = <T>(list: readonly T[]): T => list[below(list.length)] as T;
  const some = <T>(list: readonly T[], p: number): T[] => list.filter(() => chance(p));
  const size = (p: number) => (chance(p) ? pick(SIZES) : null);
  const opened = (rows: ReadonlyMap<string, object>, by: () => object) =>
    new Map([...rows].map(([id, row]) => [id, { ...row, ...by() }]));
  const ids = (table: TableName) => [...rowsOf(fleet, table).keys()];
  const hours = () => ({
    days: some([3, 4, 5, 6], 0.8),
    from: below(6) * OPEN_STEP,
    to: below(7) * OPEN_STEP,
  });
  const holder = () => ({
    allowances: chance(0.25) ? [] : held(),
    sites: chance(0.8) ? null : some(ids('sites'), 0.7),
    questions: [],
    active: chance(0.95),
    validFrom: chance(0.2) ? '2026-03-07' : null,
    validUntil: chance(0.2) ? '2026-03-07' : null,
  });
  const both = () => ({ driver: pick(ids('drivers')), vehicle: pick(ids('vehicles')) });
  // More allowances than a few bits tell apart, of which most people hold one or two.
  const allowances = new Map([...fleet.allowances].map(([id, row]) => [id, row as AnyRow]));
  const many = seed % 5 === 4;
  for (let n = 0; many && n < 30; n++)
    allowances.set(`b${n}`, newRow('allowances', { id: `b${n}`, name: `b${n}` }) as unknown as AnyRow);
  // And more hoses, which little tells apart.
  const hoses = new Map<string, object>(fleet.hoses);
  for (let n = 4; many && n < 8; n++) {
    const [site, product] = [pick(ids('sites')), pick(ids('products').slice(0, 2))];
    hoses.set(`h${n}`, newRow('hoses', { id: `h${n}`, site, product, terminals: ['t0'] }));
  }
  const held = () => some([...allowances.keys()], 2 / allowances.size);
  const paired = seed % 3 === 0;
  const drivers = ids('drivers').map((driver) => ({ driver }));
  const vehicles = ids('vehicles').map((vehicle) => ({ vehicle }));
  const cards = [
    ...drivers,
    ...vehicles,
    // Some have two.
    ...some(drivers, 0.15),
    ...some(vehicles, 0.15),
    // Of some pairs one card names both, good on other days than a card of each.
    ...(paired ? [0, 1, 2, 3].filter(() => chance(0.7)).map(both) : []),
  ].map((names, n) => {
    const dated = paired ? 0.3 : 0.1;
    const dates = { validFrom: chance(dated) ? '2026-03-07' : null, validUntil: chance(dated) ? '2026-03-06' : null };
    return newRow('credentials', { id: `c${n}`, number: String(100 + n), ...names, ...dates });
  });
  const more: Partial<Record<TableName, ReadonlyMap<string, unknown>>> = {
    sites: opened(fleet.sites, () => ({
      active: true,
      questions: [],
      identify: pick(['either', 'either', 'driver', 'vehicle', 'both']),
      closed: some(['2026-03-06', '2026-03-07', '2026-03-08'], 0.25),
    })),
    hoses: opened(hoses, () => ({ mostPerFill: many ? SIZES[1] : pick(SIZES), active: true })),
    allowances: opened(allowances, () => ({
      products: some(ids('products'), 0.9),
      perFill: chance(0.1) ? LEAST_USEFUL - below(2) : size(0.5),
      perDay: size(0.3),
      perWeek: size(0.2),
      perMonth: size(0.2),
      fillsPerDay: chance(0.05) ? 0 : null,
      times: chance(0.5) ? null : [hours(), hours()],
      sites: chance(0.7) ? null : some(ids('sites'), 0.7),
    })),
    drivers: opened(fleet.drivers, holder),
    vehicles: opened(fleet.vehicles, () => ({ ...holder(), capacity: size(0.5) })),
    credentials: new Map(cards.map((row) => [row.id, row])),
  };
  return { ...fleet, ...more } as unknown as Fleet;
}

/** The fleet with a card for each of so large a share of all pairs, good on other days than their own cards. */
export function withPairs(fleet: Fleet, seed: number, share: number): Fleet {
  const random = seeded(seed + 5_000_000);
  const credentials = new Map(fleet.credentials);
  for (const driver of fleet.drivers.keys())
    for (const vehicle of fleet.vehicles.keys()) {
      if (random() >= share) continue;
      const [id, number] = [`${driver}${vehicle}`, String(200 + credentials.size)];
      const dates = {
        validFrom: random() < 0.3 ? '2026-03-07' : null,
        validUntil: random() < 0.3 ? '2026-03-06' : null,
      };
      credentials.set(id, newRow('credentials', { id, number, driver, vehicle, ...dates }));
    }
  return { ...fleet, credentials };
}

/** The fleet with another beside each driver and each vehicle, who is no different but for a card that is always good. */
export function withTwins(fleet: Fleet): Fleet {
  const credentials = new Map(fleet.credentials);
  const twins = <T extends { readonly id: string }>(rows: ReadonlyMap<string, T>, side: 'driver' | 'vehicle') => {
    const all = new Map(rows);
    for (const row of rows.values()) {
      const id = `${row.id}b`;
      all.set(id, { ...row, id });
      const number = String(500 + credentials.size);
      credentials.set(`c${id}`, newRow('credentials', { id: `c${id}`, number, [side]: id }));
    }
    return all;
  };
  return { ...fleet, drivers: twins(fleet.drivers, 'driver'), vehicles: twins(fleet.vehicles, 'vehicle'), credentials };
}

/** Departments by the number of the row, so that the small worlds have some. */
export function withDepartments(fleet: Fleet): Fleet {
  const dressed = <R extends { readonly id: string }>(rows: ReadonlyMap<string, R>) =>
    new Map([...rows].map(([id, row]) => [id, { ...row, department: `D${id.charCodeAt(1) % 2}` }]));
  return { ...fleet, drivers: dressed(fleet.drivers), vehicles: dressed(fleet.vehicles) } as Fleet;
}
