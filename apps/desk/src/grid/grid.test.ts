import { type AnyRow, applyEdits, emptyFleet, type Fleet, newRow, rowsOf } from '@fillwright/core/fleet';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cellsText, clearChanges, fillChanges, freshRow, pasteChanges } from './changes.ts';
import { columnsOf } from './columns.ts';
import { findNext, follow, orderOf, sortedPlaces } from './order.ts';
import { moved } from './selection.ts';
import { atOnce } from './slices.ts';
import { readCells, writeCells } from './text-table.ts';

const TODAY = '2026-05-04';
const columns = columnsOf('drivers');
const at = (name: string) => columns.findIndex((c) => c.field.name === name);

function fleetOf(names: readonly string[]): Fleet {
  const fleet = emptyFleet({ name: 'Marrow Vale', units: 'us', currency: 'USD' });
  const made = applyEdits(
    fleet,
    names.map((name, i) => ({
      op: 'put' as const,
      table: 'drivers' as const,
      row: newRow('drivers', { id: `d${i}`, name, number: String(100 - i), department: i % 2 ? 'day' : 'night' }),
    })),
  );
  if (!made.ok) throw new Error('the drivers of this test are wrong');
  return made.value;
}

const shownOf = (fleet: Fleet) => ({ fleet, table: 'drivers' as const, order: [...fleet.drivers.keys()], columns });
const applied = (fleet: Fleet, edits: Parameters<typeof applyEdits>[1]): Fleet => {
  const next = applyEdits(fleet, edits);
  if (!next.ok) throw new Error(JSON.stringify(next.error));
  return next.value;
};
const names = (fleet: Fleet, order: readonly string[]) => order.map((id) => fleet.drivers.get(id)?.name);

describe('text cells of a spreadsheet', () => {
  it('come back as they were, whatever they hold', () => {
    const cell = fc.string({ unit: fc.constantFrom('a', '"', '\t', '\n', '\r', ' ', 'é') });
    const table = fc
      .integer({ min: 1, max: 4 })
      .chain((width) =>
        fc.array(fc.array(cell, { minLength: width, maxLength: width }), { minLength: 1, maxLength: 4 }),
      )
      .filter((rows) => (rows.at(-1)?.length ?? 0) > 1 || rows.at(-1)?.[0] !== '');
    fc.assert(
      fc.property(table, (rows) => {
        expect(readCells(writeCells(rows))).toEqual(rows);
      }),
    );
  });

  it('take the line ends of every system, and none at the very end', () => {
    expect(readCells('a\tb\r\nc\td\r\n')).toEqual([
      ['a', 'b'],
      ['c', 'd'],
    ]);
  });
});

describe('the order of rows', () => {
  const fleet = fleetOf(['Unit 10', 'unit 9', 'Ada', ''].map((n) => n || 'Zed'));

  it('sorts numbers in names by size, either way', () => {
    const up = atOnce(orderOf(fleet, rowsOf(fleet, 'drivers'), columns, { column: 'name', down: false }, {}));
    expect(names(fleet, up)).toEqual(['Ada', 'unit 9', 'Unit 10', 'Zed']);
    const down = atOnce(orderOf(fleet, rowsOf(fleet, 'drivers'), columns, { column: 'name', down: true }, {}));
    expect(names(fleet, down)).toEqual(['Zed', 'Unit 10', 'unit 9', 'Ada']);
  });

  it('keeps the order of equal keys and puts empty ones last, like a plain sort', () => {
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom('', 'a', 'b', 'c'), { maxLength: 6000, size: 'max' }),
        fc.boolean(),
        (keys, down) => {
          const rank = (k: string) => (k === '' ? 1000 : (down ? -1 : 1) * k.charCodeAt(0) - (down ? -200 : 200));
          const expected = keys.map((_, i) => i).sort((a, b) => rank(keys[a] ?? '') - rank(keys[b] ?? '') || a - b);
          expect(atOnce(sortedPlaces(keys, down))).toEqual(expected);
        },
      ),
      { numRuns: 20 },
    );
  });

  it('filters by what is shown, by exact text, and by size', () => {
    const pick = (filters: Record<string, string>) =>
      names(fleet, atOnce(orderOf(fleet, rowsOf(fleet, 'drivers'), columns, undefined, filters)));
    expect(pick({ name: 'UNIT' })).toEqual(['Unit 10', 'unit 9']);
    expect(pick({ name: '=ada' })).toEqual(['Ada']);
    expect(pick({ department: 'night', name: 'unit' })).toEqual(['Unit 10']);
    expect(pick({ costCentre: '=' })).toHaveLength(4);
  });

  it('compares quantities in the units of the fleet', () => {
    const base = emptyFleet({ name: 'Marrow Vale', units: 'us', currency: 'USD' });
    const some = applied(
      base,
      [30, 60, null].map((gal, i) => ({
        op: 'put' as const,
        table: 'vehicles' as const,
        row: newRow('vehicles', {
          id: `v${i}`,
          name: `v${i}`,
          capacity: gal === null ? null : Math.round(gal * 3_785_411.784),
        }),
      })),
    );
    const pick = (capacity: string) =>
      atOnce(orderOf(some, rowsOf(some, 'vehicles'), columnsOf('vehicles'), undefined, { capacity }));
    expect(pick('> 40')).toEqual(['v1']);
    expect(pick('< 200 l')).toEqual(['v0']);
    expect(pick('> nonsense')).toEqual([]);
  });

  it('does not move rows whose values change, drops what is gone and appends what is new', () => {
    const order = ['d2', 'd0', 'd1', 'd3'];
    const after = applied(fleet, [
      { op: 'set', table: 'drivers', id: 'd0', fields: { name: 'Aaron' } },
      { op: 'remove', table: 'drivers', id: 'd1' },
      { op: 'put', table: 'drivers', row: newRow('drivers', { id: 'd9', name: 'New' }) },
    ]);
    expect(follow(order, rowsOf(fleet, 'drivers'), rowsOf(after, 'drivers'))).toEqual(['d2', 'd0', 'd3', 'd9']);
    expect(follow(order, rowsOf(fleet, 'drivers'), rowsOf(fleet, 'drivers'))).toBe(order);
  });

  it('finds the next cell and comes around', () => {
    const shown = shownOf(fleet);
    const next = (row: number, text: string) =>
      atOnce(findNext(fleet, rowsOf(fleet, 'drivers'), shown.order, columns, text, { row, column: 0 }));
    expect(next(0, 'unit')).toEqual({ row: 1, column: 0 });
    expect(next(1, 'unit')).toEqual({ row: 0, column: 0 });
    expect(next(0, 'nobody')).toBeUndefined();
  });

  it('breathes often enough over a hundred thousand rows', () => {
    const rows = new Map<string, AnyRow>();
    for (let i = 0; i < 100_000; i++)
      rows.set(`d${i}`, newRow('drivers', { id: `d${i}`, name: `Driver ${(i * 7919) % 100_000}` }));
    let breaths = 0;
    const work = orderOf(fleet, rows, columns, { column: 'name', down: false }, {});
    for (let step = work.next(); ; step = work.next()) {
      if (step.done) {
        expect(step.value.slice(0, 2).map((id) => rows.get(id)?.name)).toEqual(['Driver 0', 'Driver 1']);
        break;
      }
      breaths++;
    }
    expect(breaths).toBeGreaterThan(200);
  });
});

describe('changes made in the grid', () => {
  it('paste what can be read and say what cannot', () => {
    const fleet = fleetOf(['Ada', 'Ben']);
    const left = at('validFrom');
    const { edits, notTaken } = pasteChanges(
      shownOf(fleet),
      [['2026-01-31'], ['31.1.26']],
      { top: 0, bottom: 0, left, right: left },
      TODAY,
    );
    expect(edits).toEqual([{ op: 'set', table: 'drivers', id: 'd0', fields: { validFrom: '2026-01-31' } }]);
    expect(notTaken).toMatchObject([{ row: 1, column: 'Valid from', problem: { code: 'FW-107', found: '31.1.26' } }]);
  });

  it('paste one cell over a whole block', () => {
    const fleet = fleetOf(['Ada', 'Ben', 'Cy']);
    const left = at('department');
    const { edits } = pasteChanges(shownOf(fleet), [['yard']], { top: 0, bottom: 2, left, right: left }, TODAY);
    expect([...applied(fleet, edits).drivers.values()].map((d) => d.department)).toEqual(['yard', 'yard', 'yard']);
  });

  it('make new rows of what goes beyond the last, each with an id of its own', () => {
    const fleet = fleetOf(['Ada']);
    const { edits } = pasteChanges(
      shownOf(fleet),
      [['Ann'], ['Bea'], ['']],
      { top: 1, bottom: 1, left: 0, right: 0 },
      TODAY,
    );
    const after = applied(fleet, edits);
    expect([...after.drivers.values()].map((d) => d.name)).toEqual(['Ada', 'Ann', 'Bea']);
    expect(after.drivers.size).toBe(3);
  });

  it('copy as text that pastes to the same values', () => {
    const fleet = fleetOf(['Ada', 'Ben; "B"', 'Cy']);
    const shown = shownOf(fleet);
    const rect = { top: 0, bottom: 2, left: 0, right: at('id') - 1 };
    const cells = readCells(writeCells(cellsText(shown, rect)));
    const blank = applied(
      fleet,
      [...fleet.drivers.keys()].map((id) => ({
        op: 'set' as const,
        table: 'drivers' as const,
        id,
        fields: { name: 'x', number: '', department: '' },
      })),
    );
    const { edits, notTaken } = pasteChanges(shownOf(blank), cells, rect, TODAY);
    expect(notTaken).toEqual([]);
    expect([...applied(blank, edits).drivers.values()]).toEqual([...fleet.drivers.values()]);
  });

  it('fill down the first row, or repeat several', () => {
    const fleet = fleetOf(['Ada', 'Ben', 'Cy', 'Dee', 'Eve']);
    const left = at('department');
    const all = { top: 0, bottom: 4, left, right: left };
    const departments = (height: number) =>
      [...applied(fleet, fillChanges(shownOf(fleet), all, height).edits).drivers.values()].map((d) => d.department);
    expect(departments(1)).toEqual(['night', 'night', 'night', 'night', 'night']);
    expect(departments(2)).toEqual(['night', 'day', 'night', 'day', 'night']);
  });

  it('empty what may be empty and never an id', () => {
    const fleet = fleetOf(['Ada', 'Ben']);
    const { edits, notTaken } = clearChanges(shownOf(fleet), { top: 0, bottom: 1, left: 0, right: columns.length - 1 });
    const after = applied(fleet, edits);
    expect([...after.drivers.values()].map((d) => [d.id, d.name, d.department])).toEqual([
      ['d0', 'Ada', ''],
      ['d1', 'Ben', ''],
    ]);
    expect(notTaken.map((n) => n.column)).toContain('Name');
  });

  it('make new rows that every table takes', () => {
    const fleet = fleetOf([]);
    for (const table of [
      'drivers',
      'vehicles',
      'credentials',
      'allowances',
      'questions',
      'prices',
      'costCentres',
      'products',
    ] as const)
      expect(applyEdits(fleet, [{ op: 'put', table, row: freshRow(fleet, table, TODAY) }])).toMatchObject({ ok: true });
  });
});

describe('moving about', () => {
  const size = { rows: 10, columns: 4, page: 5 };
  it('stops at the edges', () => {
    expect(moved({ row: 0, column: 0 }, 'ArrowUp', false, size)).toEqual({ row: 0, column: 0 });
    expect(moved({ row: 3, column: 2 }, 'ArrowDown', true, size)).toEqual({ row: 9, column: 2 });
    expect(moved({ row: 3, column: 2 }, 'PageDown', false, size)).toEqual({ row: 8, column: 2 });
    expect(moved({ row: 3, column: 2 }, 'End', true, size)).toEqual({ row: 9, column: 3 });
    expect(moved({ row: 3, column: 2 }, 'x', false, size)).toBeUndefined();
  });
});
