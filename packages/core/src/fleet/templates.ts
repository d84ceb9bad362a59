import { freeId } from './copies.ts';
import type { Edit } from './edits.ts';
import type { TableName } from './fields.ts';
import type { Fleet } from './fleet.ts';
import { startsFor } from './plumbing.ts';
import { newRow, type Product, type RowOf } from './tables.ts';

/** Usual yards, to begin from and change: common practice, no source. */
export const YARDS = {
  'one-diesel': 'One diesel tank, one hose',
  'petrol-and-diesel': 'Petrol and diesel, two hoses on one island',
  'four-hoses-with-def': 'Diesel and exhaust fluid, four hoses on two islands',
  'manifolded-diesel': 'Two manifolded diesel tanks, two hoses on one island',
} as const;
export type YardKind = keyof typeof YARDS;

type ProductKind = Product['kind'];

interface Layout {
  /** By name: what each tank holds. */
  readonly tanks: Readonly<Record<string, ProductKind>>;
  /** By name: the tanks that each pump draws from. */
  readonly pumps: Readonly<Record<string, readonly string[]>>;
  /** Island by island, hose by hose: the pump that it is on. */
  readonly islands: readonly (readonly string[])[];
}

const LAYOUTS: Readonly<Record<YardKind, Layout>> = {
  'one-diesel': { tanks: { '1': 'diesel' }, pumps: { '1': ['1'] }, islands: [['1']] },
  'petrol-and-diesel': {
    tanks: { '1': 'petrol', '2': 'diesel' },
    pumps: { '1': ['1'], '2': ['2'] },
    islands: [['1', '2']],
  },
  'four-hoses-with-def': {
    tanks: { '1': 'diesel', '2': 'def' },
    pumps: { '1': ['1'], '2': ['2'] },
    islands: [
      ['1', '2'],
      ['1', '2'],
    ],
  },
  'manifolded-diesel': { tanks: { '1': 'diesel', '2': 'diesel' }, pumps: { '1': ['1', '2'] }, islands: [['1', '1']] },
};

const PRODUCT_NAMES: Readonly<Record<ProductKind, readonly [name: string, short: string]>> = {
  petrol: ['Petrol', 'PETROL'],
  diesel: ['Diesel', 'DIESEL'],
  dyed: ['Dyed diesel', 'DYED DIESEL'],
  def: ['Diesel exhaust fluid', 'DEF'],
  other: ['Other', 'OTHER'],
};

/**
 * The edits that make a usual yard: its site, and whatever products the fleet does not have yet. Parts are named 'SITE-tank-1' and so
 * on; an id that is taken is counted up, the site's too. Nobody may use more than before but those who may use every site.
 */
export function yardTemplate(
  kind: YardKind,
  given: { readonly siteId: string; readonly name: string; readonly zone: string },
  fleet: Fleet,
): Edit[] {
  const layout = LAYOUTS[kind];
  const edits: Edit[] = [];
  const put = <T extends TableName>(table: T, row: Partial<RowOf<T>> & { id: string }): string => {
    edits.push({ op: 'put', table, row: newRow(table, row) });
    return row.id;
  };
  const site = freeId(given.siteId, (id) => fleet.sites.has(id));
  const idFor = (table: TableName, part: string) =>
    freeId(`${site.slice(0, 40)}-${part}`, (id) => fleet[table].has(id));

  const products = new Map<ProductKind, string>();
  const productFor = (productKind: ProductKind): string => {
    const known = products.get(productKind) ?? productOf(fleet, productKind);
    const [name, short] = PRODUCT_NAMES[productKind];
    const id =
      known ??
      put('products', { id: freeId(productKind, (i) => fleet.products.has(i)), name, short, kind: productKind });
    products.set(productKind, id);
    return id;
  };

  put('sites', { id: site, name: given.name, zone: given.zone });
  const tanks = new Map<string, { id: string; kind: ProductKind }>();
  for (const [n, holds] of Object.entries(layout.tanks)) {
    const id = put('tanks', { id: idFor('tanks', `tank-${n}`), site, name: `Tank ${n}`, product: productFor(holds) });
    tanks.set(n, { id, kind: holds });
  }
  const pumps = new Map<string, { id: string; kind: ProductKind; flow: number }>();
  const hosesOnPump = (n: string) => layout.islands.flat().filter((pump) => pump === n).length;
  for (const [n, from] of Object.entries(layout.pumps)) {
    const drawn = from.flatMap((tank) => tanks.get(tank) ?? []);
    const holds = drawn[0]?.kind ?? 'other';
    // A pump that serves all its hoses at once at their rated flow.
    const flow = startsFor(holds).flow * hosesOnPump(n);
    const id = put('pumps', {
      id: idFor('pumps', `pump-${n}`),
      site,
      name: `Pump ${n}`,
      tanks: drawn.map((t) => t.id),
      flow,
    });
    pumps.set(n, { id, kind: holds, flow });
  }
  let number = 0;
  for (const [i, hoses] of layout.islands.entries()) {
    const n = i + 1;
    const island = put('islands', { id: idFor('islands', `island-${n}`), site, name: `Island ${n}` });
    const terminal = put('terminals', { id: idFor('terminals', `terminal-${n}`), site, island, name: `Terminal ${n}` });
    for (const onPump of hoses) {
      const pump = pumps.get(onPump);
      if (!pump) continue;
      number++;
      put('hoses', {
        id: idFor('hoses', `hose-${number}`),
        site,
        number,
        channel: number,
        island,
        pump: pump.id,
        terminals: [terminal],
        product: productFor(pump.kind),
        ...startsFor(pump.kind),
      });
    }
  }
  return edits;
}

/** The fleet's product of a kind: by its usual id if that is of the kind, else the first by id. */
function productOf(fleet: Fleet, kind: ProductKind): string | undefined {
  if (fleet.products.get(kind)?.kind === kind) return kind;
  const of = [...fleet.products.values()].filter((p) => p.kind === kind).map((p) => p.id);
  return of.sort()[0];
}
