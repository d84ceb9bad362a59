import { z } from 'zod';
import { err, ok, type Problem, problem, type Result } from '../errors/index.ts';
import type { VolumeUnit } from '../units/index.ts';
import type { TableName } from './fields.ts';
import { BODY_FIELDS } from './plumbing.ts';
import { type AnyRow, fieldOf, fieldsOf, type RowOf, TABLE_NAMES, TABLES } from './tables.ts';

export const settingsSchema = z.strictObject({
  name: z
    .string()
    .min(1)
    .max(200)
    .regex(/^[^\p{Cc}]*$/u),
  /** How people of this fleet count: US gallons, °F, inches and miles, or litres, °C, millimetres and kilometres. */
  units: z.enum(['us', 'metric']),
  /** ISO 4217. */
  currency: z.string().regex(/^[A-Z]{3}$/),
});
export type Settings = Readonly<z.infer<typeof settingsSchema>>;

/** What a fleet declares: a plain immutable value. Tables are maps by id, so ids such as 'constructor' are only ids. */
export type Fleet = { readonly settings: Settings } & { readonly [T in TableName]: ReadonlyMap<string, RowOf<T>> };

export const unitOf = (settings: Settings): VolumeUnit => (settings.units === 'us' ? 'gal' : 'l');
export const lengthUnitOf = (settings: Settings): 'in' | 'mm' => (settings.units === 'us' ? 'in' : 'mm');

export function emptyFleet(settings: Settings): Fleet {
  const tables = Object.fromEntries(TABLE_NAMES.map((t) => [t, new Map()]));
  return { settings, ...tables } as unknown as Fleet;
}

/** The table as a map of plain rows, for code that treats all tables alike. */
export const rowsOf = (fleet: Fleet, table: TableName): ReadonlyMap<string, AnyRow> =>
  fleet[table] as unknown as ReadonlyMap<string, AnyRow>;

/** The JSON form: settings, then each table as its rows sorted by id. */
export type FleetJson = { settings: Settings } & { [T in TableName]?: RowOf<T>[] };

const byId = (a: AnyRow, b: AnyRow) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);

export function toJson(fleet: Fleet): FleetJson {
  const out: Record<string, unknown> = { settings: fleet.settings };
  for (const table of TABLE_NAMES) out[table] = [...rowsOf(fleet, table).values()].sort(byId);
  return out as unknown as FleetJson;
}

/** Checks one row against its table's schema; every problem names its field, what was found and what was expected. */
export function checkRow(table: TableName, row: unknown): Problem[] {
  const parsed = TABLES[table].row.safeParse(row);
  if (parsed.success) return [];
  const id = (row as { id?: unknown } | null)?.id;
  return parsed.error.issues.map((issue) => {
    const field = issue.code === 'unrecognized_keys' ? issue.keys.join(', ') : issue.path.join('.');
    const found = issue.path.reduce<unknown>((v, key) => (v as Record<PropertyKey, unknown> | undefined)?.[key], row);
    return problem(issue.code === 'unrecognized_keys' ? 'FW-206' : 'FW-201', {
      at: { in: table, field, ...(typeof id === 'string' ? { row: id } : {}) },
      expected: issue.message,
      ...(found === undefined ? {} : { found: JSON.stringify(found)?.slice(0, 80) ?? String(found) }),
    });
  });
}

/**
 * Fields that came after the first version: where JSON lacks them they have their starting value. Every other field must be there: a
 * credential that does not say whether it is stopped is not taken for one that is good.
 */
const LATER_FIELDS: { readonly [T in TableName]?: readonly string[] } = {
  costCentres: ['tier'],
  prices: ['tier'],
  sites: ['jurisdiction'],
  terminals: [
    'dots',
    'dotsAcross',
    'dotsDown',
    'languages',
    'idleLayout',
    'flowingLayout',
    'filledLayout',
    'receiptLayout',
  ],
  tanks: BODY_FIELDS,
  vehicles: ['use'],
};

const startsOf = (table: TableName): Record<string, unknown> =>
  Object.fromEntries((LATER_FIELDS[table] ?? []).map((name) => [name, fieldOf(table, name)?.start]));

const withStarts = (starts: Record<string, unknown>, row: unknown) =>
  typeof row === 'object' && row !== null && !Array.isArray(row)
    ? { ...starts, ...(row as Record<string, unknown>) }
    : row;

/**
 * Reads a fleet from untrusted JSON: every row is checked; duplicates and unknown tables are problems. Fields that came later have
 * their starting value where they are absent. References are findings' work.
 */
export function fromJson(json: unknown): Result<Fleet, Problem[]> {
  const problems: Problem[] = [];
  const source = (typeof json === 'object' && json !== null ? json : {}) as Record<string, unknown>;
  const settings = settingsSchema.safeParse(source.settings);
  if (!settings.success) {
    problems.push(
      problem('FW-201', {
        at: { in: 'settings' },
        expected: settings.error.issues.map((i) => `${i.path.join('.')}: ${i.message}`).join('; '),
      }),
    );
  }
  const tables: Record<string, Map<string, unknown>> = {};
  for (const table of TABLE_NAMES) {
    const rows = source[table] ?? [];
    const map = new Map<string, unknown>();
    tables[table] = map;
    if (!Array.isArray(rows)) {
      problems.push(problem('FW-201', { at: { in: table }, expected: 'a list of rows' }));
      continue;
    }
    const starts = startsOf(table);
    for (const given of rows) {
      const row = withStarts(starts, given);
      const wrong = checkRow(table, row);
      problems.push(...wrong);
      if (wrong.length > 0) continue;
      const { id } = row as AnyRow;
      if (map.has(id)) problems.push(problem('FW-108', { at: { in: table, row: id } }));
      map.set(id, Object.freeze(row));
    }
  }
  for (const key of Object.keys(source)) {
    if (key !== 'settings' && !(key in tables)) problems.push(problem('FW-206', { at: { field: key } }));
  }
  return problems.length > 0 || !settings.success
    ? err(problems)
    : ok({ settings: settings.data, ...tables } as unknown as Fleet);
}

/**
 * Canonical JSON of any JSON value: keys sorted by code unit, no spaces, numbers as ECMAScript prints them (RFC 8785 for the values
 * used here: finite numbers, strings, booleans, null, arrays, plain objects). Undefined members are left out.
 * @throws TypeError on a value that JSON does not have.
 */
export function canonical(value: unknown): string {
  if (value === null || typeof value === 'boolean' || typeof value === 'string') return JSON.stringify(value);
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) throw new TypeError('only finite numbers have a JSON form');
    return JSON.stringify(value);
  }
  if (Array.isArray(value)) return `[${value.map(canonical).join(',')}]`;
  if (typeof value === 'object') {
    const object = value as Record<string, unknown>;
    const keys = Object.keys(object)
      .filter((k) => object[k] !== undefined)
      .sort();
    return `{${keys.map((k) => `${JSON.stringify(k)}:${canonical(object[k])}`).join(',')}}`;
  }
  throw new TypeError(`${typeof value} has no JSON form`);
}

export const canonicalFleet = (fleet: Fleet): string => canonical(toJson(fleet));

/** Every reference that a row makes: field by field, the table and the id. */
export function* referencesOf(table: TableName, row: AnyRow): Generator<{ field: string; to: TableName; id: string }> {
  for (const field of fieldsOf(table)) {
    if (!field.ref) continue;
    const value = row[field.name];
    if (typeof value === 'string' && value !== '') yield { field: field.name, to: field.ref, id: value };
    else if (Array.isArray(value)) for (const id of value) yield { field: field.name, to: field.ref, id: String(id) };
  }
}
