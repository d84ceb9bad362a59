import { type AnyRow, changedKeys, type Fleet, parseValue } from '@fillwright/core/fleet';
import { type Column, isQuantity, shownText, sortKey } from './columns.ts';

/** Which rows are shown, in which order: ids. Long work is a generator that yields often, so that the page stays awake. */

export interface Sorting {
  readonly column: string;
  readonly down: boolean;
}

export type Filters = Readonly<Record<string, string>>;

/** Rows looked at between two breaths. */
const BREATH = 1000;

type Test = (row: AnyRow) => boolean;

/**
 * A filter as typed: text that must occur; '=' and text that it must equal ('=' alone: empty); '>' or '<' and a quantity in the
 * fleet's units.
 */
function testOf(fleet: Fleet, column: Column, typed: string): Test | undefined {
  const text = typed.trim().toLowerCase();
  if (text === '') return undefined;
  const { field } = column;
  if (text.startsWith('=')) {
    const wanted = text.slice(1).trim();
    return (row) => {
      const value = row[field.name];
      const nothing = value === null || value === '' || (Array.isArray(value) && value.length === 0);
      return wanted === '' ? nothing : shownText(fleet, field, row).toLowerCase() === wanted;
    };
  }
  const sign = text.charAt(0);
  if ((sign === '<' || sign === '>') && isQuantity(field)) {
    const limit = parseValue(field, text.slice(1).trim(), fleet);
    if (!limit.ok || typeof limit.value !== 'number') return () => false;
    const bound = limit.value;
    return (row) => {
      const value = row[field.name];
      return typeof value === 'number' && (sign === '<' ? value < bound : value > bound);
    };
  }
  return (row) => shownText(fleet, field, row).toLowerCase().includes(text);
}

/** The ids that pass every filter, sorted; without sorting in the order of the table. */
export function* orderOf(
  fleet: Fleet,
  rows: ReadonlyMap<string, AnyRow>,
  columns: readonly Column[],
  sorting: Sorting | undefined,
  filters: Filters,
): Generator<void, readonly string[]> {
  const tests = columns.flatMap((c) => testOf(fleet, c, filters[c.field.name] ?? '') ?? []);
  const by = sorting && columns.find((c) => c.field.name === sorting.column)?.field;
  const ids: string[] = [];
  const keys: (number | string)[] = [];
  let seen = 0;
  for (const row of rows.values()) {
    if (++seen % BREATH === 0) yield;
    if (!tests.every((test) => test(row))) continue;
    ids.push(row.id);
    if (by) keys.push(sortKey(fleet, by, row));
  }
  if (!by || !sorting) return ids;
  const places = yield* sortedPlaces(keys, sorting.down);
  return places.map((place) => ids[place] as string);
}

const RUN = 2048;

/** Places of `keys` in their order; equal keys keep theirs, empty texts come last either way. A merge sort that stops for breath. */
export function* sortedPlaces(keys: readonly (number | string)[], down: boolean): Generator<void, number[]> {
  const compare = (a: number, b: number): number => {
    const [x, y] = [keys[a] as number | string, keys[b] as number | string];
    if (x === y) return a - b;
    if (x === '') return 1;
    if (y === '') return -1;
    const less = typeof x === typeof y ? x < y : typeof x === 'number';
    return less === down ? 1 : -1;
  };
  let runs: number[][] = [];
  for (let from = 0; from < keys.length; from += RUN) {
    const run = Array.from({ length: Math.min(RUN, keys.length - from) }, (_, i) => from + i);
    run.sort(compare);
    runs.push(run);
    yield;
  }
  while (runs.length > 1) {
    const next: number[][] = [];
    for (let i = 0; i < runs.length; i += 2) {
      const [a, b] = [runs[i] as number[], runs[i + 1]];
      next.push(b ? yield* merged(a, b, compare) : a);
    }
    runs = next;
  }
  return runs[0] ?? [];
}

function* merged(
  a: readonly number[],
  b: readonly number[],
  compare: (x: number, y: number) => number,
): Generator<void, number[]> {
  const out: number[] = [];
  let i = 0;
  let j = 0;
  while (i < a.length || j < b.length) {
    const takeA = j >= b.length || (i < a.length && compare(a[i] as number, b[j] as number) <= 0);
    out.push((takeA ? a[i++] : b[j++]) as number);
    if (out.length % (BREATH * 8) === 0) yield;
  }
  return out;
}

/**
 * The order after rows changed without anyone asking for a new one: rows stay where they are though their values changed, so that nothing
 * jumps away under the hand; removed rows go, new ones come at the end.
 */
export function follow(
  order: readonly string[],
  before: ReadonlyMap<string, AnyRow>,
  after: ReadonlyMap<string, AnyRow>,
): readonly string[] {
  const changed = changedKeys(before, after);
  const added = changed.filter((id) => !before.has(id));
  const lost = changed.some((id) => !after.has(id));
  if (!lost && added.length === 0) return order;
  const kept = lost ? order.filter((id) => after.has(id)) : order;
  return added.length === 0 ? kept : [...kept, ...added];
}

/** The next cell whose text holds `typed`, going on from a cell and around; undefined where there is none. */
export function* findNext(
  fleet: Fleet,
  rows: ReadonlyMap<string, AnyRow>,
  order: readonly string[],
  columns: readonly Column[],
  typed: string,
  from: { row: number; column: number },
): Generator<void, { row: number; column: number } | undefined> {
  const text = typed.trim().toLowerCase();
  const cells = order.length * columns.length;
  if (text === '' || cells === 0) return undefined;
  const start = from.row * columns.length + from.column;
  for (let step = 1; step <= cells; step++) {
    const at = (start + step) % cells;
    const row = rows.get(order[Math.floor(at / columns.length)] ?? '');
    const column = columns[at % columns.length];
    if (row && column && shownText(fleet, column.field, row).toLowerCase().includes(text))
      return { row: Math.floor(at / columns.length), column: at % columns.length };
    if (step % (BREATH * 4) === 0) yield;
  }
  return undefined;
}
