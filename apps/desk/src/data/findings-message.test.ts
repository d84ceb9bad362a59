import { type AnyRow, applyEdits, emptyFleet, type Fleet, newRow, rowsOf, TABLE_NAMES } from '@fillwright/core/fleet';
import { describe, expect, it } from 'vitest';
import { partsBetween, takePart } from './findings-message.ts';

const empty = emptyFleet({ name: 'Marrow Vale', units: 'us', currency: 'USD' });
const applied = (fleet: Fleet, edits: Parameters<typeof applyEdits>[1]): Fleet => {
  const next = applyEdits(fleet, edits);
  if (!next.ok) throw new Error(JSON.stringify(next.error));
  return next.value;
};
const drivers = (count: number) =>
  applied(
    empty,
    Array.from({ length: count }, (_, i) => ({
      op: 'put' as const,
      table: 'drivers' as const,
      row: newRow('drivers', { id: `d${i}`, name: `Driver ${i}` }),
    })),
  );

describe('what the worker is told', () => {
  it('leads it to the same fleet, however that was reached', () => {
    const first = drivers(5000);
    const second = applied(first, [
      { op: 'set', table: 'drivers', id: 'd7', fields: { name: 'Changed' } },
      { op: 'remove', table: 'drivers', id: 'd8' },
      { op: 'put', table: 'costCentres', row: newRow('costCentres', { id: 'c', name: 'C' }) },
    ]);
    const held: Record<string, Map<string, AnyRow>> = {};
    for (const part of partsBetween(undefined, first)) takePart(held, part);
    for (const part of partsBetween(first, second)) takePart(held, part);
    for (const table of TABLE_NAMES) expect(held[table] ?? new Map()).toEqual(new Map(rowsOf(second, table)));
  });

  it('says no more than what changed, and no part is long', () => {
    const first = drivers(5000);
    expect([...partsBetween(undefined, first)].map((p) => p.rows.length)).toEqual([2000, 2000, 1000]);
    const second = applied(first, [{ op: 'set', table: 'drivers', id: 'd7', fields: { name: 'Changed' } }]);
    expect([...partsBetween(first, second)]).toEqual([
      { table: 'drivers', rows: [second.drivers.get('d7')], gone: [] },
    ]);
    expect([...partsBetween(second, second)]).toEqual([]);
  });
});
