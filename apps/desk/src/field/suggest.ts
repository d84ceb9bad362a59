import { type Fleet, rowsOf, type TableName } from '@fillwright/core/fleet';
import { nameOf } from '../data/where.ts';

export interface Option {
  /** What is committed when it is chosen. */
  readonly value: string;
  readonly text: string;
  /** What tells it from others of its name; shown quietly beside it. */
  readonly note: string;
  /** In small letters, for matching. */
  readonly key: string;
}

export const option = (value: string, text: string, note = value === text ? '' : value): Option => ({
  ...{ value, text, note },
  key: `${text} ${value} ${note}`.toLowerCase(),
});

const byRows = new WeakMap<object, readonly Option[]>();

/** Of people and vehicles, where they belong and what is printed on them; of anything else the id. */
function noteOf(fleet: Fleet, table: TableName, id: string): string | undefined {
  if (table !== 'drivers' && table !== 'vehicles') return undefined;
  const row = fleet[table].get(id);
  if (!row) return undefined;
  const mark = 'plate' in row ? row.plate : row.number;
  return [row.department, mark].filter((part) => part !== '' && part !== null).join(', ') || id;
}

/** Every record of a table as an option: its name, and beside it what tells it from others. */
export function recordOptions(fleet: Fleet, table: TableName): readonly Option[] {
  const rows = rowsOf(fleet, table);
  let options = byRows.get(rows);
  if (!options) {
    options = [...rows.keys()].map((id) => option(id, nameOf(fleet, table, id), noteOf(fleet, table, id)));
    byRows.set(rows, options);
  }
  return options;
}

let zones: readonly Option[] | undefined;
export function zoneOptions(): readonly Option[] {
  zones ??= ['UTC', ...Intl.supportedValuesOf('timeZone')].map((zone) => option(zone, zone));
  return zones;
}

const MOST_OFFERED = 50;

/** The options in which every word of `typed` occurs, those that begin with it first; at most `MOST_OFFERED`. */
export function matching(options: readonly Option[], typed: string): Option[] {
  const text = typed.trim().toLowerCase();
  if (text === '') return options.slice(0, MOST_OFFERED);
  const words = text.split(/\s+/);
  const first: Option[] = [];
  const rest: Option[] = [];
  for (const o of options) {
    if (o.key.startsWith(text)) first.push(o);
    else if (rest.length < MOST_OFFERED && words.every((w) => o.key.includes(w))) rest.push(o);
    if (first.length === MOST_OFFERED) break;
  }
  return [...first, ...rest].slice(0, MOST_OFFERED);
}
