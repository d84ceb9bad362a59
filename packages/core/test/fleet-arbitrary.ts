import fc from 'fast-check';
import { type Field, type Fleet, fieldsOf, fromJson, TABLE_NAMES, type TableName } from '../src/fleet/index.ts';

/** Random small fleets that pass every row schema: references are mostly valid, texts are as awkward as the schemas allow. */

const AWKWARD_IDS = [
  'constructor',
  'tostring',
  'none',
  'all',
  'any',
  'yes',
  'null',
  '0123',
  '1e5',
  '2026-01-01',
  'a',
  'valueof',
];

const AWKWARD_TEXTS = [
  ' ',
  '   ',
  ' leading',
  'trailing ',
  'a, b',
  'a; b',
  ';',
  '"',
  '"quoted"',
  'say "so"',
  "'apostrophe",
  '\\',
  '\\n',
  '=cmd',
  '=1+1',
  '+1',
  '-1',
  '@sum',
  '＝1',
  '0123',
  '00',
  '1e5',
  '1.50',
  '12345678901234567890',
  '2026-01-01',
  'TRUE',
  'none',
  'None',
  'all',
  'always',
  'no limit',
  'yes',
  'null',
  '__proto__',
  'constructor',
  'toString',
  '<b>&amp;</b>',
  '&lt;',
  ']]>',
  '_x0041_',
  '_x000D_',
  'Zoë',
  'Ünal Öz',
  '李四',
  'سعيد',
  '🚚',
  '\u00a0',
  '\u200b',
  '\ufeff',
  '\u2028',
  'e\u0301',
  '\ufffe',
  '\ud800',
];

const idArbitrary = fc.oneof(
  { weight: 2, arbitrary: fc.constantFrom(...AWKWARD_IDS) },
  { weight: 3, arbitrary: fc.stringMatching(/^[a-z0-9][a-z0-9-]{0,8}$/) },
);

const textOf = (least: 0 | 1): fc.Arbitrary<string> =>
  fc.oneof(
    { weight: 4, arbitrary: fc.constantFrom(...AWKWARD_TEXTS, ...(least === 0 ? [''] : [])) },
    { weight: 2, arbitrary: fc.stringMatching(/^[A-Za-z][a-z]{0,8} ?[A-Z0-9]{0,4}$/) },
    {
      weight: 2,
      arbitrary: fc.string({ unit: 'binary', minLength: least, maxLength: 12 }).map((t) => t.replace(/\p{Cc}/gu, '~')),
    },
  );
// Made once: building a text arbitrary costs more than drawing thousands of texts from it.
const TEXTS = { 0: textOf(0), 1: textOf(1) } as const;

/** Text without control characters, at least 0 or 1 long, often of the kind that files and spreadsheets spoil. */
export const awkwardText = (least: 0 | 1): fc.Arbitrary<string> => TEXTS[least];

const dateArbitrary = fc
  .record({
    y: fc.integer({ min: 1970, max: 2099 }),
    m: fc.integer({ min: 1, max: 12 }),
    d: fc.integer({ min: 1, max: 28 }),
  })
  .map(({ y, m, d }) => `${y}-${String(m).padStart(2, '0')}-${String(d).padStart(2, '0')}`);

const windowArbitrary = fc.record({
  days: fc.oneof(
    fc.array(fc.integer({ min: 0, max: 6 }), { maxLength: 7 }),
    fc.constantFrom([0, 1, 2, 3, 4], [5, 6], [0, 1, 2, 3, 4, 5, 6]),
  ),
  from: fc.integer({ min: 0, max: 1439 }),
  to: fc.integer({ min: 0, max: 1440 }),
});

function layoutArbitrary(fields: readonly string[]): fc.Arbitrary<unknown> {
  const align = fc.constantFrom('left', 'centre', 'right');
  const one = fc.constantFrom(...fields);
  const said = awkwardText(1);
  const words = fc
    .record({ en: said, es: said, fr: said }, { requiredKeys: [] })
    .filter((w) => Object.keys(w).length > 0)
    .map((w) => ({ ...w }));
  const cell = fc.oneof(
    fc.record({ field: one, align }),
    fc.record({ label: one, align }),
    fc.record({ words, align }),
  );
  return fc.array(fc.array(cell, { maxLength: 3 }), { maxLength: 4 });
}
const strappingArbitrary = fc.record({
  dip: fc.constantFrom('mm', 'cm', 'in'),
  volume: fc.constantFrom('l', 'gal'),
  rows: fc.array(fc.tuple(fc.nat({ max: 1_000_000 }), fc.nat({ max: 1_000_000_000 })), { minLength: 2, maxLength: 4 }),
});

// The least a text field takes is not in its description, so the schema is asked.
const leastLength = (field: Field): 0 | 1 => (field.schema.safeParse('').success ? 0 : 1);
const mayBeNull = (field: Field): boolean => field.schema.safeParse(null).success;

function wholeBetween(field: Field, low: number, high: number, favourites: readonly number[]): fc.Arbitrary<unknown> {
  const fits = (n: number) => field.schema.safeParse(n).success;
  return fc
    .oneof(fc.constantFrom(...favourites), fc.integer({ min: low, max: high }))
    .map((n) => (fits(n) ? n : field.start));
}

/** A reference before the rows are known: a number picks one of them, a text is an id that may lead nowhere. */
const referenceArbitrary: fc.Arbitrary<number | string> = fc.oneof(
  { weight: 9, arbitrary: fc.nat({ max: 11 }) },
  { weight: 1, arbitrary: idArbitrary },
);

function bareValue(field: Field): fc.Arbitrary<unknown> {
  switch (field.kind) {
    case 'id':
      return idArbitrary;
    case 'text':
      return awkwardText(leastLength(field));
    case 'texts':
      return fc.array(awkwardText(1), { maxLength: 3 });
    case 'choice':
      return fc.constantFrom(...Object.keys(field.choices ?? {}));
    case 'flag':
      return fc.boolean();
    case 'whole':
      return wholeBetween(field, 0, 200, [0, 1, 20, 9600, 10_000_000]);
    case 'milli':
      return wholeBetween(field, 1, 100_000_000, [1, 99_875, 100_000]);
    case 'volume':
      return wholeBetween(field, 0, 200_000_000_000, [0, 1, 3_785_412, 378_541_178, 50_000_000, 1_000_000_000_000]);
    case 'flow':
      return wholeBetween(field, 1, 5_000_000_000, [1, 75_708_236, 40_000_000]);
    case 'seconds':
    case 'minutes':
      return wholeBetween(field, 1, 10_080, [1, 15, 30, 120]);
    case 'percent':
      return wholeBetween(field, 0, 100, [0, 25, 95, 100]);
    case 'money':
      return wholeBetween(field, 0, 1_000_000_000, [0, 1, 35_990, 41_000]);
    case 'date':
      return dateArbitrary;
    case 'dates':
      return fc.array(dateArbitrary, { maxLength: 3 });
    case 'zone':
      return fc.constantFrom('UTC', 'America/Chicago', 'Europe/Berlin', 'Australia/Lord_Howe');
    case 'ref':
      return referenceArbitrary;
    case 'refs':
      return fc.array(referenceArbitrary, { maxLength: 3 });
    case 'choices':
      return fc.uniqueArray(fc.constantFrom(...Object.keys(field.choices ?? {})), { minLength: 1 });
    case 'layout':
      return layoutArbitrary(Object.keys(field.choices ?? {}));
    case 'windows':
      return fc.array(windowArbitrary, { maxLength: 3 });
    case 'length':
      return wholeBetween(field, 1, 100_000_000, [1, 25_400, 3_175, 2_438_400]);
    case 'chart':
      return strappingArbitrary;
  }
}

const valueArbitrary = (field: Field): fc.Arbitrary<unknown> =>
  mayBeNull(field)
    ? fc.oneof({ weight: 2, arbitrary: fc.constant(null) }, { weight: 3, arbitrary: bareValue(field) })
    : bareValue(field);

type LooseRow = Record<string, unknown> & { id: string };

const rowArbitrary = (table: TableName): fc.Arbitrary<LooseRow> =>
  fc.record(
    Object.fromEntries(fieldsOf(table).map((field) => [field.name, valueArbitrary(field)])),
  ) as fc.Arbitrary<LooseRow>;

function settleReferences(table: TableName, row: LooseRow, ids: ReadonlyMap<TableName, readonly string[]>): LooseRow {
  const settled: LooseRow = { ...row };
  for (const field of fieldsOf(table)) {
    const known = field.ref ? (ids.get(field.ref) ?? []) : [];
    const settle = (v: unknown) => (typeof v === 'number' ? (known[v % known.length] ?? 'nowhere') : v);
    if (field.kind === 'ref') settled[field.name] = settle(row[field.name]);
    if (field.kind === 'refs' && row[field.name] !== null)
      settled[field.name] = (row[field.name] as unknown[]).map(settle);
  }
  return settled;
}

/** Fleets of at most `mostRows` rows a table; every row passes its schema, about one reference in ten points nowhere. */
export const fleetArbitrary = (mostRows = 3): fc.Arbitrary<Fleet> =>
  fc
    .tuple(
      fc.record({
        name: awkwardText(1),
        units: fc.constantFrom('us' as const, 'metric' as const),
        currency: fc.constantFrom('USD', 'EUR', 'XTS'),
      }),
      ...TABLE_NAMES.map((table) =>
        fc.uniqueArray(rowArbitrary(table), { maxLength: mostRows, selector: (row) => row.id }),
      ),
    )
    .map(([settings, ...tables]) => {
      const ids = new Map(TABLE_NAMES.map((table, i) => [table, (tables[i] ?? []).map((row) => row.id)]));
      const rows = TABLE_NAMES.map((table, i) => [
        table,
        (tables[i] ?? []).map((row) => settleReferences(table, row, ids)),
      ]);
      const fleet = fromJson({ settings, ...Object.fromEntries(rows) });
      if (!fleet.ok)
        throw new Error(`the arbitrary made a fleet that its schema refuses: ${JSON.stringify(fleet.error[0])}`);
      return fleet.value;
    });
