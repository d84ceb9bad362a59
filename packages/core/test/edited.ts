import { type AnyRow, type Fleet, rowsOf, TABLE_NAMES } from '@fillwright/core/fleet';

/** One row taken from another fleet, taken away or put back: an edit as the desk makes it, with every other row the same object. */
export function edited(fleet: Fleet, other: Fleet, random: () => number): Fleet {
  const table = TABLE_NAMES[Math.floor(random() * TABLE_NAMES.length)] as (typeof TABLE_NAMES)[number];
  const ids = [...new Set([...rowsOf(fleet, table).keys(), ...rowsOf(other, table).keys()])];
  const id = ids[Math.floor(random() * ids.length)];
  if (id === undefined) return fleet;
  const rows = new Map<string, AnyRow>(rowsOf(fleet, table));
  const row = rowsOf(other, table).get(id);
  if (row && random() < 0.85) rows.set(id, row);
  else rows.delete(id);
  return { ...fleet, [table]: rows } as Fleet;
}

/** What a generator that says its progress comes to. */
export function last<T>(steps: Generator<unknown, T>): T {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}
