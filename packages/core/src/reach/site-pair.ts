import type { PolicyHose } from '../decide/index.ts';
import type { HoseClass, Table } from './table.ts';

/** One site set against another: two tables of the same people, in which a product of either site is one place. */
export interface SitePair {
  readonly before: Table;
  readonly after: Table;
  /** By the id of a place in both tables: the hose that stands for it at either site, null where the site does not have the product. */
  readonly hoses: ReadonlyMap<string, readonly [string | null, string | null]>;
}

/**
 * Sets a site against another, product by product: their difference says what may be drawn at the second and not at the first ('gained'), at
 * the first and not at the second ('lost'), and more or less of. Each by its own wall's clock. Of the hoses of one product at a site the one
 * that gives most stands for all, since hoses of a site differ in nothing else that a decision looks at.
 */
export function sitePair(table: Table, first: string, second: string): SitePair {
  const [before, after] = [mostOf(table, first), mostOf(table, second)];
  const hoses = new Map<string, readonly [string | null, string | null]>();
  const classes: [HoseClass[], HoseClass[]] = [[], []];
  for (const product of new Set([...before.keys(), ...after.keys()])) {
    const both = [before.get(product), after.get(product)] as const;
    const place = both[0]?.members[0] ?? both[1]?.members[0];
    if (!place) continue;
    hoses.set(place.row.id, [both[0]?.members[0]?.row.id ?? null, both[1]?.members[0]?.row.id ?? null]);
    for (const n of [0, 1] as const) {
      const hose = both[n];
      const own = hose?.members[0];
      if (hose && own) classes[n].push({ ...hose, members: [called(own, place.row.id)] });
    }
  }
  return { before: { ...table, hoses: classes[0] }, after: { ...table, hoses: classes[1] }, hoses };
}

const called = (hose: PolicyHose, id: string): PolicyHose => ({ ...hose, row: { ...hose.row, id } });

/** The hoses of a site that give most in one fill, by product. */
function mostOf(table: Table, site: string): Map<number, HoseClass> {
  const most = new Map<number, HoseClass>();
  for (const hose of table.hoses) {
    if (hose.siteId !== site) continue;
    const had = most.get(hose.product);
    if (!had || hose.mostPerFill > had.mostPerFill) most.set(hose.product, hose);
  }
  return most;
}
