import { compile, LEAST_USEFUL } from '@fillwright/core/decide';
import type { Edit } from '@fillwright/core/fleet';
import { possible, reachTable } from '@fillwright/core/reach';
import { formatDate, zoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { otherSite, TODAY } from '../../test/checked.ts';
import { gal, put, remove, yard } from '../../test/yard.ts';

const allowance = (id: string, gallons: number, products = ['diesel', 'petrol'], more = {}) =>
  put('allowances', { id, name: id, products, perFill: gal(gallons), ...more });
const driver = (id: string, allowances: string[], more = {}) => [
  put('drivers', { id, name: id, allowances, ...more }),
  put('credentials', { id: `c-${id}`, number: `n-${id}`, driver: id }),
];
const vehicle = (id: string, allowances: string[], more = {}) => [
  put('vehicles', { id, name: id, allowances, ...more }),
  put('credentials', { id: `c-${id}`, number: `n-${id}`, vehicle: id }),
];
const together = (d: string, v: string) =>
  put('credentials', { id: `${d}-${v}`, number: `n-${d}-${v}`, driver: d, vehicle: v });
const without = (...ids: string[]) => ids.map((id) => remove('credentials', `c-${id}`));
/** What can happen in a yard of two hoses at which a driver and a vehicle are asked for, with these people in it. */
function can(...edits: readonly Edit[]) {
  const nobody = [remove('drivers', 'd-1'), remove('vehicles', 'v-1'), ...without('1', '2')];
  const policy = compile(yard(...nobody, ...edits), (zone) => zoneTable(zone, 2026, 2028));
  const { decides, leads, draws, drawn } = possible(reachTable(policy, [TODAY, TODAY + 6]));
  return {
    decides: [...decides].sort(),
    leads: [...leads].sort(),
    draws: [...draws].flatMap((party) => party.members.map((m) => m.id)).sort(),
    drawn: [...drawn].flatMap((hose) => hose.members.map((m) => m.row.id)).sort(),
  };
}

describe('an allowance decides', () => {
  it('with whoever leaves more than it, though another leaves most', () => {
    const two = [allowance('a60', 60), allowance('b80', 80), allowance('c70', 70), allowance('d90', 90)];
    const drivers = [driver('d1', ['b80']), driver('d2', ['a60'])];
    const vehicles = [vehicle('v1', ['c70']), vehicle('v2', ['d90'])];
    for (const d of [drivers, drivers.toReversed()])
      for (const v of [vehicles, vehicles.toReversed()])
        expect(can(...two, ...d.flat(), ...v.flat())).toMatchObject({
          decides: ['a60', 'b80', 'c70'],
          leads: ['a60', 'b80', 'c70', 'd90'],
        });
  });

  it('with a tank that holds more, of however many vehicles that are alike else', () => {
    const people = [allowance('a60', 60), allowance('b80', 80), ...driver('d1', ['a60']), ...driver('d2', ['b80'])];
    const fleet = (...tanks: (number | null)[]) =>
      can(...people, ...tanks.flatMap((gallons, n) => vehicle(`v${n}`, [], { capacity: gallons && gal(gallons) })))
        .decides;
    for (const tanks of [
      [40, 80],
      [80, 40],
      [40, null],
      [null, 40],
      [40, 80, 50],
    ])
      expect(fleet(...tanks)).toEqual(['a60', 'b80']);
    expect(fleet(40, 50)).toEqual([]);
    // Nor may more be drawn for an allowance of its own that gives more.
    const own = [allowance('c70', 70), ...vehicle('v1', ['c70'], { capacity: gal(40) })];
    expect(can(...people, ...own)).toMatchObject({ decides: [], leads: ['a60', 'b80', 'c70'] });
    expect(fleet(40, 70)).toEqual(['a60']);
  });

  it('of the driver where the vehicle’s leaves as much', () => {
    const both = [allowance('a40', 40), allowance('b40', 40), ...driver('d1', ['a40']), ...vehicle('v1', ['b40'])];
    expect(can(...both)).toMatchObject({ decides: ['a40'], leads: ['a40', 'b40'] });
  });

  it('where it leaves the least that is of use, and not below', () => {
    const sip = (most: number) => [
      put('allowances', { id: 'sip', name: 'sip', products: ['diesel'], perFill: most }),
      ...driver('d1', ['sip']),
      ...vehicle('v1', []),
    ];
    expect(can(...sip(LEAST_USEFUL))).toEqual({
      decides: ['sip'],
      leads: ['sip'],
      draws: ['d1', 'v1'],
      drawn: ['hose-1'],
    });
    expect(can(...sip(LEAST_USEFUL - 1))).toEqual({ decides: [], leads: [], draws: [], drawn: [] });
  });
});

describe('somebody draws, and a hose is drawn from', () => {
  it('by two of whom one brings an allowance', () => {
    const one = allowance('a40', 40);
    const all = { draws: ['d1', 'v1'], drawn: ['hose-1', 'hose-2'] };
    const none = { draws: [], drawn: [] };
    expect(can(one, ...driver('d1', []), ...vehicle('v1', ['a40']))).toMatchObject(all);
    expect(can(one, ...driver('d1', ['a40']), ...vehicle('v1', []))).toMatchObject(all);
    expect(can(one, ...driver('d1', ['a40']), ...vehicle('v1', ['a40']))).toMatchObject(all);
    expect(can(one, ...driver('d1', []), ...vehicle('v1', []))).toMatchObject(none);
    expect(can(one, ...driver('d1', ['a40']))).toMatchObject(none);
  });

  it('at the sites that their own lists and their allowances let them use', () => {
    const sites = [
      ...otherSite('east', 'diesel', { identify: 'driver' }),
      ...otherSite('west', 'diesel', { identify: 'driver' }),
    ];
    for (const own of ['east', 'west']) {
      const there = { draws: ['d1'], drawn: [`hose-${own}`] };
      expect(can(...sites, allowance('a', 40), ...driver('d1', ['a'], { sites: [own] }))).toMatchObject(there);
      expect(can(...sites, allowance('a', 40, ['diesel'], { sites: [own] }), ...driver('d1', ['a']))).toMatchObject(
        there,
      );
    }
    const both = { draws: ['d1'], drawn: ['hose-east', 'hose-west'] };
    expect(can(...sites, allowance('a', 40), ...driver('d1', ['a']))).toMatchObject(both);
  });

  it('at the sites that ask for what they bring', () => {
    const sites = [
      ...otherSite('east', 'diesel', { identify: 'driver' }),
      ...otherSite('west', 'diesel', { identify: 'vehicle' }),
    ];
    expect(can(...sites, allowance('a', 40), ...driver('d1', ['a']))).toMatchObject({ drawn: ['hose-east'] });
    expect(can(...sites, allowance('a', 40), ...vehicle('v1', ['a']))).toMatchObject({ drawn: ['hose-west'] });
    const riddle = put('questions', { id: 'riddle', prompt: 'Well?', kind: 'text', accepted: [] });
    const asking = otherSite('east', 'diesel', { identify: 'driver', questions: ['riddle'] });
    expect(can(riddle, ...asking, allowance('a', 40), ...driver('d1', ['a']))).toMatchObject({ draws: [], drawn: [] });
  });
});

describe('two whom one card alone names', () => {
  const pair = [...without('d1', 'v1'), together('d1', 'v1')];

  it('draw at every hose', () => {
    expect(can(allowance('a', 40), ...driver('d1', ['a']), ...vehicle('v1', []), ...pair)).toEqual({
      decides: ['a'],
      leads: ['a'],
      draws: ['d1', 'v1'],
      drawn: ['hose-1', 'hose-2'],
    });
  });

  it('draw on no day on which that card is not good, and at no site that is not of both', () => {
    const named = (more: object, d = {}, v = {}) =>
      can(
        ...otherSite('east', 'diesel'),
        allowance('a', 40),
        ...driver('d1', ['a'], d),
        ...vehicle('v1', [], v),
        ...without('d1', 'v1'),
        put('credentials', { id: 'both', number: '7', driver: 'd1', vehicle: 'v1', ...more }),
      );
    const east = { draws: ['d1', 'v1'], drawn: ['hose-east'], leads: ['a'] };
    expect(named({}, { sites: ['east'] })).toMatchObject(east);
    expect(named({}, {}, { sites: ['east'] })).toMatchObject(east);
    expect(named({}, { sites: ['east'] }, { sites: ['north'] })).toMatchObject({ draws: [], drawn: [], leads: [] });
    const past = { validUntil: formatDate(TODAY - 1) };
    expect(named(past)).toEqual({ decides: [], leads: [], draws: [], drawn: [] });
  });

  it('are looked at everywhere, though others draw there', () => {
    const allowances = [
      allowance('a', 40),
      allowance('b1', 60, ['diesel']),
      allowance('b2', 30, ['petrol']),
      allowance('c', 10),
    ];
    const others = [...driver('d3', ['c']), ...vehicle('v3', ['b2']), ...vehicle('v4', [])];
    expect(can(...allowances, ...others)).toMatchObject({
      decides: ['c'],
      leads: ['b2', 'c'],
      drawn: ['hose-1', 'hose-2'],
    });
    const named = [...driver('d1', ['a']), ...vehicle('v1', ['b1', 'b2']), ...pair];
    expect(can(...allowances, ...others, ...named)).toEqual({
      decides: ['a', 'b2', 'c'],
      leads: ['a', 'b1', 'b2', 'c'],
      draws: ['d1', 'd3', 'v1', 'v3', 'v4'],
      drawn: ['hose-1', 'hose-2'],
    });
  });
});
