import {
  type Credential,
  type Driver,
  emptyFleet,
  type Fleet,
  newRow,
  type RowOf,
  type TableName,
  type Vehicle,
  type Window,
} from '@fillwright/core/fleet';
import { seeded } from '@fillwright/core/test/small-world.ts';

export interface Size {
  readonly drivers: number;
  readonly vehicles: number;
  readonly sites: number;
  readonly hoses: number;
  readonly rules: number;
}

const GAL = 3_785_412;

/** A large estate from one seed: regions of twenty sites, allowances by region and trade, one or two a holder, a card each. */
export function estate(size: Size, seed = 5): Fleet {
  const random = seeded(seed);
  const below = (n: number) => Math.floor(random() * n);
  const fleet = emptyFleet({ name: 'Estate', units: 'us', currency: 'USD' });
  const put = <T extends TableName>(table: T, row: Partial<RowOf<T>> & { id: string }) =>
    (fleet[table] as unknown as Map<string, RowOf<T>>).set(row.id, newRow(table, row));
  const products = ['petrol', 'diesel', 'dyed', 'def'];
  for (const id of products) put('products', { id, name: id });
  const regions = Math.max(1, Math.ceil(size.sites / 20));
  const sitesOf: string[][] = Array.from({ length: regions }, () => []);
  for (let s = 0; s < size.sites; s++) {
    const id = `s${s}`;
    sitesOf[s % regions]?.push(id);
    put('sites', {
      id,
      name: id,
      zone: 'America/Denver',
      identify: (['both', 'driver', 'either'] as const)[s % 3] as 'both',
      pin: true,
      closed: ['2026-12-25'],
    });
    for (let h = 0; h < size.hoses; h++)
      put('hoses', {
        id: `${id}-h${h}`,
        site: id,
        number: h + 1,
        product: products[h % 4] as string,
        island: 'i',
        pump: 'u',
        mostPerFill: (h % 4 === 0 ? 20 : 100) * GAL,
      });
  }
  const windows: (Window[] | null)[] = [
    null,
    [{ days: [0, 1, 2, 3, 4], from: 300, to: 1260 }],
    [{ days: [0, 1, 2, 3, 4, 5], from: 1320, to: 360 }],
    [{ days: [0, 1, 2, 3, 4, 5, 6], from: 240, to: 1320 }],
  ];
  const rulesOf: string[][] = Array.from({ length: regions }, () => []);
  for (let a = 0; a < size.rules; a++) {
    const region = a % regions;
    const id = `a${a}`;
    rulesOf[region]?.push(id);
    put('allowances', {
      id,
      name: id,
      products: products.filter(() => random() < 0.5),
      sites: random() < 0.2 ? null : [...(sitesOf[region] as string[])],
      perFill: (10 + below(20) * 5) * GAL,
      perDay: random() < 0.4 ? (50 + below(20) * 10) * GAL : null,
      times: windows[below(4)] as Window[] | null,
    });
  }
  const holder = (i: number) => {
    const rules = rulesOf[i % regions] as string[];
    const first = rules[below(rules.length)] as string;
    return {
      allowances: random() < 0.3 ? [first, rules[below(rules.length)] as string] : [first],
      validUntil: random() < 0.02 ? '2026-06-30' : null,
    };
  };
  for (let i = 0; i < size.drivers; i++) {
    put('drivers', { id: `d${i}`, name: `Driver ${i}`, ...holder(i) });
    put('credentials', { id: `cd${i}`, number: String(10_000_000 + i), driver: `d${i}` });
  }
  for (let i = 0; i < size.vehicles; i++) {
    put('vehicles', { id: `v${i}`, name: `Vehicle ${i}`, ...holder(i), capacity: (20 + 10 * below(12)) * GAL });
    put('credentials', { id: `cv${i}`, number: String(30_000_000 + i), vehicle: `v${i}` });
  }
  return fleet;
}

/** The estate a quarter later: some rules raised, narrowed or widened, some people moved, gone or new. */
export function later(fleet: Fleet, seed = 9): Fleet {
  const random = seeded(seed);
  const allowances = new Map(fleet.allowances);
  const drivers = new Map(fleet.drivers);
  const all = [...allowances.keys()];
  for (const row of fleet.allowances.values()) {
    if (random() < 0.05) allowances.set(row.id, { ...row, perFill: (row.perFill ?? 0) + 10 * GAL });
    else if (random() < 0.02) allowances.set(row.id, { ...row, times: null });
  }
  for (const row of fleet.drivers.values()) {
    const r = random();
    if (r < 0.01) drivers.set(row.id, { ...row, active: false });
    else if (r < 0.03) drivers.set(row.id, { ...row, allowances: [all[Math.floor(random() * all.length)] as string] });
  }
  return { ...fleet, allowances, drivers };
}

/** As many people in few groups: of each kind everybody is like one of the first `groups`. */
export function crowdOf(size: Size, groups: number): Fleet {
  const kinds = estate({ ...size, drivers: groups, vehicles: groups });
  const drivers = new Map(kinds.drivers);
  const vehicles = new Map(kinds.vehicles);
  const credentials = new Map(kinds.credentials);
  const card = [...kinds.credentials.values()][0] as Credential;
  for (let i = groups; i < size.drivers; i++) {
    const id = `d${i}`;
    drivers.set(id, { ...(kinds.drivers.get(`d${i % groups}`) as Driver), id });
    credentials.set(`cd${i}`, { ...card, id: `cd${i}`, number: String(10_000_000 + i), driver: id, vehicle: null });
  }
  for (let i = groups; i < size.vehicles; i++) {
    const id = `v${i}`;
    vehicles.set(id, { ...(kinds.vehicles.get(`v${i % groups}`) as Vehicle), id });
    credentials.set(`cv${i}`, { ...card, id: `cv${i}`, number: String(30_000_000 + i), driver: null, vehicle: id });
  }
  return { ...kinds, drivers, vehicles, credentials };
}
