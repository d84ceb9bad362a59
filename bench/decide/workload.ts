import type { DecisionRequest } from '@fillwright/core/decide';
import { emptyFleet, type Fleet, newRow, type RowOf, type TableName, type Window } from '@fillwright/core/fleet';
import { seeded } from '@fillwright/core/test/small-world.ts';

/** One workload that every engine can express: who (group), product, site, minute of the week; the limit where the engine has one. */

export interface Group {
  readonly id: string;
  readonly products: readonly string[];
  readonly sites: readonly string[];
  readonly window: Window | null;
  readonly perFill: number;
}

export interface Ask {
  readonly card: string;
  readonly driver: string;
  readonly group: string;
  readonly hose: string;
  readonly product: string;
  readonly site: string;
  readonly at: number;
  readonly minute: number;
  /** What a terminal holds anyway when it asks for a decision. */
  readonly request: DecisionRequest;
}

export interface Workload {
  readonly fleet: Fleet;
  readonly groups: readonly Group[];
  readonly groupOf: ReadonlyMap<string, string>;
  readonly asks: readonly Ask[];
}

const GAL = 3_785_412;
/** Monday 2026-01-05 00:00 UTC; every site is in UTC here, so that the other engines need no calendar. */
const MONDAY = Date.UTC(2026, 0, 5);

export function workload(
  size: { drivers: number; groups: number; sites: number; hoses: number; asks: number },
  seed = 7,
): Workload {
  const random = seeded(seed);
  const below = (n: number) => Math.floor(random() * n);
  const fleet = emptyFleet({ name: 'Bench', units: 'us', currency: 'USD' });
  const put = <T extends TableName>(table: T, row: Partial<RowOf<T>> & { id: string }) =>
    (fleet[table] as unknown as Map<string, RowOf<T>>).set(row.id, newRow(table, row));
  const products = ['p0', 'p1', 'p2', 'p3'];
  for (const id of products) put('products', { id, name: id });
  const sites = Array.from({ length: size.sites }, (_, i) => `s${i}`);
  const hoses: { id: string; site: string; product: string }[] = [];
  for (const site of sites) {
    put('sites', { id: site, name: site, zone: 'UTC', identify: 'driver', pin: false });
    for (let h = 0; h < size.hoses; h++) {
      const hose = { id: `${site}-h${h}`, site, product: products[h % 4] as string };
      put('hoses', { ...hose, island: 'i', pump: 'u', mostPerFill: 200 * GAL });
      hoses.push(hose);
    }
  }
  const groups: Group[] = Array.from({ length: size.groups }, (_, g) => ({
    id: `g${g}`,
    products: products.filter(() => random() < 0.6),
    sites: sites.filter(() => random() < 0.6),
    window:
      random() < 0.5
        ? null
        : { days: [0, 1, 2, 3, 4].filter(() => random() < 0.8), from: 300 + below(200), to: 900 + below(500) },
    perFill: (10 + below(90)) * GAL,
  }));
  for (const g of groups) {
    put('allowances', {
      id: g.id,
      name: g.id,
      products: [...g.products],
      sites: [...g.sites],
      times: g.window && [g.window],
      perFill: g.perFill,
    });
  }
  const groupOf = new Map<string, string>();
  for (let d = 0; d < size.drivers; d++) {
    const group = `g${below(size.groups)}`;
    groupOf.set(`d${d}`, group);
    put('drivers', { id: `d${d}`, name: `Driver ${d}`, allowances: [group] });
    put('credentials', { id: `c${d}`, number: String(7_000_000 + d), driver: `d${d}` });
  }
  const asks = Array.from({ length: size.asks }, () => {
    const d = below(size.drivers);
    const hose = hoses[below(hoses.length)] as (typeof hoses)[number];
    const minute = below(10_080);
    const card = String(7_000_000 + d);
    const at = MONDAY + minute * 60_000;
    return {
      card,
      driver: `d${d}`,
      group: groupOf.get(`d${d}`) as string,
      hose: hose.id,
      product: hose.product,
      site: hose.site,
      at,
      minute,
      request: { site: hose.site, hose: hose.id, at, credentials: [card], pin: 'notAsked' as const, answers: {} },
    };
  });
  return { fleet, groups, groupOf, asks };
}
