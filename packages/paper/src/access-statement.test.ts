import { compile } from '@fillwright/core/decide';
import { emptyFleet, type Fleet, newRow, type RowOf, type TableName } from '@fillwright/core/fleet';
import { accessStatement, reachTable } from '@fillwright/core/reach';
import { parseDate, zoneTable } from '@fillwright/core/units';
import { expect, it } from 'vitest';
import { accessPaper } from './index.ts';

/** US gallons in microlitres. */
const gal = (n: number): number => Math.round(n * 3_785_411.784);

function yard(): Fleet {
  const fleet = emptyFleet({ name: 'Harrowmere', units: 'us', currency: 'USD' });
  const put = <T extends TableName>(table: T, row: Partial<RowOf<T>> & { id: string }) =>
    (fleet[table] as unknown as Map<string, RowOf<T>>).set(row.id, newRow(table, row));
  put('products', { id: 'diesel', name: 'Diesel' });
  put('sites', { id: 'north', name: 'North yard', zone: 'UTC', identify: 'driver' });
  put('hoses', { id: 'h1', site: 'north', number: 1, product: 'diesel', terminals: ['t1'], mostPerFill: gal(100) });
  put('allowances', { id: 'a1', name: 'Day crew', products: ['diesel'], perFill: gal(80), perWeek: gal(212.55) });
  put('drivers', { id: 'd1', name: 'Ana Voss', allowances: ['a1'] });
  put('credentials', { id: 'c1', number: '100', driver: 'd1' });
  return fleet;
}

it('writes limits as they read elsewhere: no zeros that say nothing, nothing rounded away', () => {
  const fleet = yard();
  const day = parseDate('2026-03-09') as number;
  const table = reachTable(
    compile(fleet, (zone) => zoneTable(zone, 2026, 2027)),
    [day, day + 6],
  );
  const steps = accessStatement(table, { kind: 'site', id: 'north' });
  let step = steps.next();
  while (!step.done) step = steps.next();
  const paper = accessPaper(fleet, step.value, { words: 'the draft', draft: true }, { at: 0, words: '' });
  const rows = paper.parts.flatMap((part) => (part.kind === 'table' ? part.rows : []));
  expect(rows).toContainEqual([
    'D1: Ana Voss',
    'alone',
    'Diesel, hose 1',
    '80 gal',
    'the whole week',
    'per fill of “Day crew”',
  ]);
  expect(rows).toContainEqual([
    'Day crew',
    '80 gal',
    'no limit',
    '212.55 gal',
    'no limit',
    'no limit',
    'goes on with what the site knows: what was drawn elsewhere meanwhile is not counted',
  ]);
});
