import type { z } from 'zod';
import { type FieldMeta, metaOf, type TableName } from './fields.ts';
import * as people from './people.ts';
import * as plumbing from './plumbing.ts';

/** Every table of a fleet: its row schema, and its name for one and for many. The order is the order of intake and export. */
export const TABLES = {
  costCentres: { row: people.costCentre, one: 'cost centre', many: 'cost centres' },
  products: { row: plumbing.product, one: 'product', many: 'products' },
  sites: { row: plumbing.site, one: 'site', many: 'sites' },
  prices: { row: people.price, one: 'price', many: 'prices' },
  questions: { row: people.question, one: 'question', many: 'questions' },
  islands: { row: plumbing.island, one: 'island', many: 'islands' },
  tanks: { row: plumbing.tank, one: 'tank', many: 'tanks' },
  pumps: { row: plumbing.pump, one: 'pump', many: 'pumps' },
  terminals: { row: plumbing.terminal, one: 'terminal', many: 'terminals' },
  hoses: { row: plumbing.hose, one: 'hose', many: 'hoses' },
  allowances: { row: people.allowance, one: 'allowance', many: 'allowances' },
  drivers: { row: people.driver, one: 'driver', many: 'drivers' },
  vehicles: { row: people.vehicle, one: 'vehicle', many: 'vehicles' },
  credentials: { row: people.credential, one: 'credential', many: 'credentials' },
  expectations: { row: people.expectation, one: 'expectation', many: 'expectations' },
} as const satisfies Record<TableName, { row: z.ZodObject; one: string; many: string }>;

export const TABLE_NAMES = Object.keys(TABLES) as TableName[];

export type RowOf<T extends TableName> = Readonly<z.infer<(typeof TABLES)[T]['row']>>;
export type AnyRow = { readonly id: string } & Readonly<Record<string, unknown>>;

export type CostCentre = RowOf<'costCentres'>;
export type Product = RowOf<'products'>;
export type Site = RowOf<'sites'>;
export type Price = RowOf<'prices'>;
export type Question = RowOf<'questions'>;
export type Island = RowOf<'islands'>;
export type Tank = RowOf<'tanks'>;
export type Pump = RowOf<'pumps'>;
export type Terminal = RowOf<'terminals'>;
export type Hose = RowOf<'hoses'>;
export type Allowance = RowOf<'allowances'>;
export type Driver = RowOf<'drivers'>;
export type Vehicle = RowOf<'vehicles'>;
export type Credential = RowOf<'credentials'>;
export type Expectation = RowOf<'expectations'>;

export interface Field extends FieldMeta {
  readonly name: string;
  readonly schema: z.ZodType;
}

const cache = new Map<TableName, readonly Field[]>();

/** The fields of a table in their order, each with its label, kind and starting value. */
export function fieldsOf(table: TableName): readonly Field[] {
  let fields = cache.get(table);
  if (!fields) {
    const shape = TABLES[table].row.shape as Record<string, z.ZodType>;
    fields = Object.entries(shape).map(([name, schema]) => ({ ...metaOf(schema), name, schema }));
    cache.set(table, fields);
  }
  return fields;
}

export const fieldOf = (table: TableName, name: string): Field | undefined =>
  fieldsOf(table).find((f) => f.name === name);

/** A new row with every starting value; `given` overrides. */
export function newRow<T extends TableName>(table: T, given: Partial<RowOf<T>> & { id: string }): RowOf<T> {
  const row: Record<string, unknown> = {};
  for (const field of fieldsOf(table)) row[field.name] = structuredCopy(field.start);
  return { ...row, ...given } as unknown as RowOf<T>;
}

const structuredCopy = (value: unknown): unknown => (Array.isArray(value) ? [...value] : value);
