import { type AnyRow, type Field, type Fleet, fieldsOf, formatValue, type TableName } from '@fillwright/core/fleet';
import { nameOf } from '../data/where.ts';

/** A column of the grid: one field of the table. */
export interface Column {
  readonly field: Field;
  readonly label: string;
  /** In CSS pixels. */
  readonly width: number;
}

const WIDTHS: Partial<Record<Field['kind'], number>> = {
  text: 180,
  id: 150,
  texts: 220,
  flag: 96,
  choice: 150,
  refs: 220,
  ref: 180,
  windows: 260,
};

/** The columns of a table: its name first, its id last, the rest in the order in which they are declared. */
export function columnsOf(table: TableName, leaveOut: readonly string[] = []): readonly Column[] {
  const fields = fieldsOf(table).filter((f) => !leaveOut.includes(f.name));
  const first = ['name', 'prompt', 'number', 'product'].find((n) => fields.some((f) => f.name === n));
  const rank = (f: Field) => (f.name === first ? 0 : f.name === 'id' ? 2 : 1);
  return fields
    .map((field, i) => ({ field, i }))
    .sort((a, b) => rank(a.field) - rank(b.field) || a.i - b.i)
    .map(({ field }) => ({
      field,
      label: field.label,
      width: Math.max(field.name === first ? 200 : (WIDTHS[field.kind] ?? 130), field.label.length * 9 + 48),
    }));
}

/** What a cell shows: references by the names of what they point to, everything else as `formatValue` writes it. */
export function shownText(fleet: Fleet, field: Field, row: AnyRow): string {
  const value = row[field.name];
  if (field.ref && typeof value === 'string') return nameOf(fleet, field.ref, value);
  if (field.ref && Array.isArray(value)) {
    const { ref } = field;
    return value.length === 0 && field.empty !== undefined
      ? 'none'
      : value.map((id) => nameOf(fleet, ref, String(id))).join('; ');
  }
  return formatValue(field, value, fleet);
}

/** A value that sorts as people expect: numbers by size, everything else by its text, with numbers in it by size too. */
export function sortKey(fleet: Fleet, field: Field, row: AnyRow): number | string {
  const value = row[field.name];
  if (typeof value === 'number') return value;
  if (value === null || value === undefined) return '';
  return naturalKey(shownText(fleet, field, row));
}

/** 'Unit 9' before 'Unit 10': runs of digits are padded to one length. */
const naturalKey = (text: string): string =>
  text.toLowerCase().replace(/\d+/g, (digits) => digits.replace(/^0+(?=\d)/, '').padStart(12, '0'));

/** The kinds whose values are whole numbers, so that 'more than' has a meaning. */
export const isQuantity = (field: Field): boolean =>
  ['whole', 'milli', 'volume', 'length', 'flow', 'seconds', 'minutes', 'percent', 'money'].includes(field.kind);
