import { type AnyRow, canonical, ID_PATTERN, TABLES, type TableName } from '@fillwright/core/fleet';

/** Ids for rows that come without one: made from what the row is called, the same every time. */

/** The fields that an id is made of; the first list that is not empty counts. */
const CALLED: { readonly [T in TableName]: readonly (readonly string[])[] } = {
  costCentres: [['name']],
  products: [['name']],
  sites: [['name']],
  prices: [['product', 'site', 'from']],
  questions: [['prompt'], ['kind']],
  islands: [['site', 'name']],
  tanks: [['site', 'name']],
  pumps: [['site', 'name']],
  terminals: [['site', 'name']],
  hoses: [['site', 'number']],
  allowances: [['name']],
  drivers: [['name'], ['number']],
  vehicles: [['name'], ['plate']],
  credentials: [['kind', 'number']],
  expectations: [['wish'], ['who', 'whoName', 'must', 'product', 'site']],
};

/** Fields beyond those that tell two rows of one name apart. */
const TOLD_BY: { readonly [T in TableName]?: readonly string[] } = {
  drivers: ['number'],
  vehicles: ['plate', 'vin'],
  prices: ['tier'],
};

export const keyFieldsOf = (table: TableName): ReadonlySet<string> =>
  new Set([...CALLED[table].flat(), ...(TOLD_BY[table] ?? [])]);

const LONGEST_STEM = 48;

/** Small letters, digits and hyphens from any text; empty when it has none. */
const slug = (text: string): string =>
  text
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .slice(0, LONGEST_STEM)
    .replace(/^-+|-+$/g, '');

type Loose = Readonly<Record<string, unknown>>;

const sameKey = (table: TableName, a: Loose, b: Loose): boolean =>
  [...keyFieldsOf(table)].every(
    (field) => a[field] === undefined || b[field] === undefined || canonical(a[field]) === canonical(b[field]),
  );

/**
 * The id for `row`: that of a standing row which is called the same and not `taken` by this import, else a new one that neither has.
 * `row` holds the fields that were given; those not given do not count.
 */
export function deriveId(
  table: TableName,
  row: Loose,
  standing: ReadonlyMap<string, AnyRow>,
  taken: Pick<ReadonlySet<string>, 'has'>,
): string {
  const parts = CALLED[table].map((fields) =>
    slug(fields.map((f) => (row[f] === null || row[f] === undefined ? '' : String(row[f]))).join(' ')),
  );
  const stem = parts.find((part) => part !== '') ?? slug(TABLES[table].one);
  for (let n = 1; ; n++) {
    const id = n === 1 ? stem : `${stem}-${n}`;
    const there = standing.get(id);
    if (ID_PATTERN.test(id) && !taken.has(id) && (!there || sameKey(table, row, there))) return id;
  }
}
