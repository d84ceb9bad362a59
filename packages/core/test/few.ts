import { compile, type Policy, revise } from '@fillwright/core/decide';
import { emptyFleet, type Fleet, newRow, type RowOf, type TableName } from '@fillwright/core/fleet';
import {
  Book,
  LiveDifference,
  NARROWED_TO_NOTHING,
  narrowed,
  reachTable,
  revisedTable,
  sectionsOf,
  type Table,
} from '@fillwright/core/reach';
import type { ZoneTable } from '@fillwright/core/units';
import { expect } from 'vitest';
import { last } from './edited.ts';

const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
export const zones = () => UTC;
const FIRST = Date.UTC(2026, 2, 6) / 86_400_000;
export const HORIZON = [FIRST, FIRST + 1] as const;
export const LITRE = 1_000_000;

/** A card's number, whom it names, and the days on which it is good: both, the first or the second. */
export type Card = readonly [number: string, names: string, days?: 'first' | 'second'];
export type Rows = { readonly [T in TableName]?: readonly (Partial<RowOf<T>> & { readonly id: string })[] };

/** One hose at a site that must know a driver and a vehicle; drivers and vehicles are alike but for their cards. */
export function yard(cards: readonly Card[], more: Rows = {}): Fleet {
  const fleet = emptyFleet({ name: 'Yard', units: 'metric', currency: 'EUR' });
  const holder = (id: string) => ({ id, name: id, allowances: ['a'] });
  const rows: Rows = {
    products: [{ id: 'p', name: 'p' }],
    sites: [{ id: 's', name: 's', zone: 'UTC', identify: 'both' }],
    hoses: [{ id: 'h', site: 's', product: 'p', terminals: ['t'], mostPerFill: 100 * LITRE }],
    allowances: [{ id: 'a', name: 'a', products: ['p'], perFill: 40 * LITRE }],
    drivers: ['d1', 'd2', 'd3'].map(holder),
    vehicles: ['v1', 'v2', 'v3'].map(holder),
    credentials: cards.map(([number, names, days]) => ({
      id: `c${number}`,
      number,
      driver: names.match(/d\d/)?.[0] ?? null,
      vehicle: names.match(/v\d/)?.[0] ?? null,
      validFrom: days === 'second' ? '2026-03-07' : null,
      validUntil: days === 'first' ? '2026-03-06' : null,
    })),
    ...more,
  };
  for (const [table, list] of Object.entries(rows) as [TableName, readonly { id: string }[]][])
    for (const row of list) (fleet[table] as unknown as Map<string, unknown>).set(row.id, newRow(table, row));
  return fleet;
}

/** A draft that is edited, with what is read of it after each edit. */
export function drafted(running: Fleet, draft: Fleet) {
  const before = reachTable(compile(running, zones), HORIZON, new Book());
  let after: Table = reachTable(compile(draft, zones), HORIZON, before.book);
  const live = last(LiveDifference.begin(before, after));
  const read = () =>
    live.difference().groups.map((g) => ({
      kind: g.kind,
      drivers: [...g.who.together.drivers].sort().join(' '),
      vehicles: [...g.who.together.vehicles].sort().join(' '),
      before: g.before.map((n) => n / LITRE),
      after: g.after.map((n) => n / LITRE),
      witness: `${g.witness.driver} ${g.witness.vehicle}`,
    }));
  const whole = () => last(narrowed(live, sectionsOf(running, after.policy.fleet, NARROWED_TO_NOTHING)));
  return {
    read,
    /** Takes the draft in without reading it. */
    take(next: Fleet) {
      // As an edit leaves it: tables and rows that are as they were are the same objects.
      const kept = { ...next } as Record<TableName, ReadonlyMap<string, unknown>>;
      for (const table of Object.keys(after.policy.fleet) as TableName[]) {
        const had = after.policy.fleet[table] as ReadonlyMap<string, unknown>;
        if (!(had instanceof Map)) continue;
        const same = (id: string, row: unknown) => JSON.stringify(had.get(id)) === JSON.stringify(row);
        const rows = [...kept[table]];
        kept[table] =
          rows.length === had.size && rows.every(([id, row]) => same(id, row))
            ? had
            : new Map(rows.map(([id, row]) => [id, same(id, row) ? had.get(id) : row]));
      }
      after = revisedTable(after, revise(after.policy, kept as unknown as Fleet, zones) as Policy);
      expect(live.edit(after)).toBe(true);
    },
    edit(next: Fleet) {
      this.take(next);
      return read();
    },
    /** The draft as it is now, looked at as a part that is all of it. */
    whole,
    touched() {
      const { drivers, vehicles } = whole().touched();
      return [drivers, vehicles].map((ids) => [...ids].sort().join(' '));
    },
    live,
    book: before.book,
  };
}
