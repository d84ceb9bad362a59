import { type AnyRow, type Fleet, rowsOf } from '@fillwright/core/fleet';
import { ROSTER_TABLES, type RosterTable } from './mapping.ts';

/** Finds the row that a line of a roster speaks of: by the first of its keys that the line gives and some row has. */

const KEYS: Readonly<Record<RosterTable, readonly string[]>> = {
  drivers: ['number'],
  vehicles: ['plate', 'vin'],
  credentials: ['number'],
};

/** Names count only between rows that a better key does not tell apart. */
const NAMED: Readonly<Record<RosterTable, boolean>> = { drivers: true, vehicles: true, credentials: false };

/** 'AB-12 cd' and 'ab12CD' are one plate. */
const normal = (value: unknown): string =>
  typeof value === 'string' ? value.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '') : '';

/** Not an id: that could be any word. */
export const SEVERAL: unique symbol = Symbol('several');

export interface RosterIndex {
  /** The id of the row meant, SEVERAL when it cannot be told, undefined when there is none. */
  find(table: RosterTable, given: Readonly<Record<string, unknown>>): string | typeof SEVERAL | undefined;
  add(table: RosterTable, row: AnyRow): void;
}

export function rosterIndex(base: Fleet): RosterIndex {
  const ids = new Map<string, Set<string>>();
  const rows = new Map<string, AnyRow>();
  const entry = (table: RosterTable, field: string, value: unknown) => `${table} ${field} ${normal(value)}`;
  const add = (table: RosterTable, row: AnyRow) => {
    rows.set(`${table} ${row.id}`, row);
    for (const field of [...KEYS[table], 'name']) {
      if (normal(row[field]) === '') continue;
      const key = entry(table, field, row[field]);
      const set = ids.get(key);
      if (set) set.add(row.id);
      else ids.set(key, new Set([row.id]));
    }
  };
  for (const table of ROSTER_TABLES) for (const row of rowsOf(base, table).values()) add(table, row);
  const only = (set: ReadonlySet<string> | undefined): string | typeof SEVERAL | undefined =>
    set === undefined || set.size === 0 ? undefined : set.size === 1 ? [...set][0] : SEVERAL;
  return {
    add,
    find(table, given) {
      for (const field of KEYS[table]) {
        if (normal(given[field]) === '') continue;
        const id = only(ids.get(entry(table, field, given[field])));
        if (id !== undefined) return id;
      }
      if (!NAMED[table] || normal(given.name) === '') return undefined;
      const called = [...(ids.get(entry(table, 'name', given.name)) ?? [])];
      // Two people of one name with different numbers are two people.
      const fitting = called.filter((id) =>
        KEYS[table].every((field) => {
          const [a, b] = [normal(given[field]), normal(rows.get(`${table} ${id}`)?.[field])];
          return a === '' || b === '' || a === b;
        }),
      );
      return only(new Set(fitting));
    },
  };
}
