import { compile } from '@fillwright/core/decide';
import { differenceOf, reachTable, sitePair } from '@fillwright/core/reach';
import { dayOfDate, type ZoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { last } from '../../test/edited.ts';
import { gal, put, set, yard } from '../../test/yard.ts';

const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const FIRST = dayOfDate(2026, 3, 2);

describe('a site set against another', () => {
  it('lets the hose that gives most stand for all of its product, wherever it is in the list', () => {
    const hose = (id: string, site: string, most: number) =>
      put('hoses', { id, site, product: 'diesel', island: 'island-1', pump: 'pump-diesel', mostPerFill: gal(most) });
    const fleet = yard(
      set('sites', 'north', { identify: 'either' }),
      put('sites', { id: 'south', name: 'South yard', zone: 'UTC', identify: 'either' }),
      put('allowances', { id: 'free', name: 'Free', products: ['diesel', 'petrol'] }),
      set('drivers', 'd-1', { allowances: ['free'] }),
      set('hoses', 'hose-1', { mostPerFill: gal(30) }),
      hose('n-2', 'north', 80),
      hose('n-3', 'north', 40),
      hose('s-1', 'south', 70),
      hose('s-2', 'south', 50),
    );
    const table = reachTable(
      compile(fleet, () => UTC),
      [FIRST, FIRST],
    );
    const { before, after, hoses } = sitePair(table, 'north', 'south');
    // Petrol is at the north yard alone.
    expect([...hoses.values()]).toEqual([
      ['n-2', 's-1'],
      ['hose-2', null],
    ]);
    const { groups } = last(differenceOf(before, after));
    const alone = groups.filter((g) => [...g.who.driversAlone].includes('d-1'));
    expect(alone.map((g) => [g.kind, g.product, g.before, g.after]).sort()).toEqual([
      ['lost', 'petrol', [gal(60), gal(60)], [0, 0]],
      ['lowered', 'diesel', [gal(80), gal(80)], [gal(70), gal(70)]],
    ]);
  });
});
