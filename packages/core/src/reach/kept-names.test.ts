import { compile, type Policy, revise } from '@fillwright/core/decide';
import { emptyFleet, type Fleet, newRow, type RowOf } from '@fillwright/core/fleet';
import { Book, LiveDifference, reachTable, revisedTable } from '@fillwright/core/reach';
import { dayOfDate, type ZoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { last } from '../../test/edited.ts';

const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const zones = () => UTC;
const FIRST = dayOfDate(2026, 3, 2);

const mapOf = <R extends { readonly id: string }>(...rows: readonly R[]) => new Map(rows.map((r) => [r.id, r]));
const site = (id: string) => newRow('sites', { id, name: id, zone: 'UTC', identify: 'either' });
const hose = (id: string, at: string) => newRow('hoses', { id, site: at, product: 'diesel' });
const FLEET: Fleet = {
  ...emptyFleet({ name: 'Small', units: 'us', currency: 'USD' }),
  products: mapOf(newRow('products', { id: 'diesel', name: 'Diesel' })),
  sites: mapOf(site('north'), site('south')),
  hoses: mapOf(hose('n', 'north'), hose('s', 'south')),
  allowances: mapOf(
    newRow('allowances', {
      ...{ id: 'crew', name: 'Crew', products: ['diesel'] },
      times: [{ days: [0, 1, 2, 3, 4], from: 360, to: 1080 }],
    }),
  ),
};

type Driver = Partial<RowOf<'drivers'>> & { readonly id: string };

/** What is gained, read after each of the drafts, of which each is an edit of the one before it: the drivers and the hoses. */
function readAfter(given: Fleet, drafts: readonly (readonly Driver[])[]): [string[], string[]][] {
  const withDrivers = (drivers: readonly Driver[]): Fleet => ({
    ...given,
    drivers: mapOf(...drivers.map((row) => newRow('drivers', { name: row.id, ...row }))),
  });
  const nobody = withDrivers((drafts[0] ?? []).map(({ id, sites = null }) => ({ id, sites, allowances: [] })));
  const before = reachTable(compile(nobody, zones), [FIRST, FIRST + 6], new Book());
  const live = last(LiveDifference.begin(before, before));
  let after = before;
  return drafts.map((drivers) => {
    const policy = revise(after.policy, withDrivers(drivers), zones) as Policy;
    after = revisedTable(after, policy);
    expect(live.edit(after)).toBe(true);
    const [group, ...more] = live.difference().groups;
    expect(more).toEqual([]);
    return [[...(group?.drivers ?? [])].sort(), [...(group?.hoses ?? [])].sort()];
  });
}

describe('a group that was read, after an edit', () => {
  it('does not name somebody whose card is good on no day on which the change has a minute', () => {
    const card = (id: string, dates: Partial<RowOf<'credentials'>>) =>
      newRow('credentials', { id, number: id, driver: id, ...dates });
    const saturday = card('sal', { validFrom: '2026-03-07', validUntil: '2026-03-07' });
    const given = { ...FLEET, credentials: mapOf(card('ana', {}), saturday) };
    const crew = (id: string) => ({ id, allowances: ['crew'] });
    expect(
      readAfter(given, [
        [crew('ana'), { id: 'sal', allowances: [] }],
        [crew('ana'), crew('sal')],
      ]),
    ).toEqual([
      [['ana'], ['n', 's']],
      [['ana'], ['n', 's']],
    ]);
  });

  it('names somebody who comes to a place where nobody had the change any more', () => {
    const ids = ['ana', 'ben', 'cal'];
    const given = {
      ...FLEET,
      credentials: mapOf(...ids.map((id) => newRow('credentials', { id, number: id, driver: id }))),
    };
    const north = { id: 'ana', sites: ['north'], allowances: ['crew'] };
    const south = (id: string, allowances: string[]) => ({ id, sites: ['south'], allowances });
    expect(
      readAfter(given, [
        [north, south('ben', ['crew']), south('cal', [])],
        [north, south('ben', []), south('cal', [])],
        [north, south('ben', []), south('cal', ['crew'])],
      ]),
    ).toEqual([
      [
        ['ana', 'ben'],
        ['n', 's'],
      ],
      [['ana'], ['n']],
      [
        ['ana', 'cal'],
        ['n', 's'],
      ],
    ]);
  });
});
