import { compile, LEAST_USEFUL } from '@fillwright/core/decide';
import type { Edit } from '@fillwright/core/fleet';
import { type Here, hereOf, type Place, reachTable } from '@fillwright/core/reach';
import { dayOfDate, type ZoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { last } from '../../test/edited.ts';
import { gal, put, remove, set, yard } from '../../test/yard.ts';

const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const MONDAY = dayOfDate(2026, 3, 2);
const NOBODY: Place = { site: 'north', driver: null, vehicle: null, department: null };

/** On one Monday, at a site that asks for either, of which the diesel hose gives 80 gallons. */
function here(place: Partial<Place>, ...edits: readonly Edit[]): Here {
  const fleet = yard(
    set('sites', 'north', { identify: 'either', questions: [] }),
    set('hoses', 'hose-1', { mostPerFill: gal(80) }),
    ...edits,
  );
  return last(
    hereOf(
      reachTable(
        compile(fleet, () => UTC),
        [MONDAY, MONDAY],
      ),
      { ...NOBODY, ...place },
    ),
  );
}

/** Drivers alone, with a vehicle, never, and vehicles alone: at the hose with diesel. */
function counts(...edits: readonly Edit[]): number[] {
  const [diesel] = here({}, ...edits).counts;
  if (!diesel) return [];
  return [diesel.driversAlone, diesel.driversWithVehicle, diesel.driversNever, diesel.vehiclesAlone];
}

/** Drivers and vehicles with a card each. */
const driver = (id: string, fields: object): Edit[] => [
  put('drivers', { id, name: id, allowances: ['day-crew'], ...fields }),
  put('credentials', { id: `c-${id}`, number: `9${id}`.replace(/\D/g, ''), driver: id }),
];
const vehicle = (id: string, fields: object): Edit[] => [
  put('vehicles', { id, name: id, allowances: ['vans'], ...fields }),
  put('credentials', { id: `c-${id}`, number: `8${id}`.replace(/\D/g, ''), vehicle: id }),
];
const NO_VEHICLE = [remove('credentials', 'c-2'), remove('vehicles', 'v-1')];

describe('how many can draw at a hose', () => {
  it('tells those apart who are alike in what they hold but not in where they may go and what they are asked', () => {
    const code = put('questions', { id: 'code', prompt: 'Code?', kind: 'text', accepted: [] });
    expect(counts(...NO_VEHICLE, ...driver('d-2', {}))).toEqual([2, 0, 0, 0]);
    expect(counts(...NO_VEHICLE, ...driver('d-2', { sites: [] }))).toEqual([1, 0, 1, 0]);
    expect(counts(...NO_VEHICLE, ...driver('d-2', { sites: ['north'] }))).toEqual([2, 0, 0, 0]);
    expect(counts(...NO_VEHICLE, code, ...driver('d-2', { questions: ['code'] }))).toEqual([1, 0, 1, 0]);
    // Whoever comes first in the roster, too.
    expect(counts(...NO_VEHICLE, set('drivers', 'd-1', { sites: [] }), ...driver('d-2', {}))).toEqual([1, 0, 1, 0]);
  });

  it('tells those apart who hold other allowances', () => {
    const tuesdays = put('allowances', {
      ...{ id: 'tuesdays', name: 'Tuesdays', products: ['diesel'] },
      times: [{ days: [1], from: 0, to: 1440 }],
    });
    const later = driver('d-2', { allowances: ['tuesdays'] });
    expect(counts(...NO_VEHICLE, tuesdays, ...later)).toEqual([1, 0, 1, 0]);
    const first = set('drivers', 'd-1', { allowances: ['tuesdays'] });
    expect(counts(...NO_VEHICLE, tuesdays, first, ...driver('d-2', {}))).toEqual([1, 0, 1, 0]);
    const nothing = driver('d-2', { allowances: [] });
    expect(counts(...NO_VEHICLE, ...nothing)).toEqual([1, 0, 1, 0]);
    expect(counts(...nothing)).toEqual([1, 1, 0, 1]);
  });

  it('takes a tank, and an allowance, of just what is given at least', () => {
    const tank = (capacity: number) => vehicle('v-2', { capacity });
    expect(counts(...tank(LEAST_USEFUL - 1))[3]).toBe(1);
    expect(counts(...tank(LEAST_USEFUL))[3]).toBe(2);
    expect(counts(set('vehicles', 'v-1', { capacity: LEAST_USEFUL }))[3]).toBe(1);
    expect(counts(set('vehicles', 'v-1', { capacity: LEAST_USEFUL - 1 }))[3]).toBe(0);
    const little = (perFill: number) => [set('allowances', 'day-crew', { perFill }), ...NO_VEHICLE];
    expect(counts(...little(LEAST_USEFUL))[0]).toBe(1);
    expect(counts(...little(LEAST_USEFUL - 1))[0]).toBe(0);
  });

  it('counts each of those who are alike and come only with a card for two', () => {
    const two = (id: string) =>
      put('credentials', { id: `t-${id}`, number: `7${id.slice(2)}`, driver: id, vehicle: 'v-1' });
    const second = put('drivers', { id: 'd-2', name: 'Ida Marsh', allowances: ['day-crew', 'pool'] });
    const cards = [remove('credentials', 'c-1'), remove('credentials', 'c-2')];
    expect(counts(second, two('d-1'), two('d-2'), ...cards)).toEqual([0, 2, 0, 0]);
    expect(counts(second, two('d-2'), ...cards)).toEqual([0, 1, 1, 0]);
  });
});

describe('the most that anybody may draw', () => {
  const most = (place: Partial<Place>, ...edits: readonly Edit[]) =>
    Math.max(0, ...(here(place, ...edits).weeks[0]?.stretches ?? []).map((s) => s.room));

  it('is with the largest tank, wherever it is in the roster', () => {
    const free = [set('allowances', 'vans', { perFill: null }), set('drivers', 'd-1', { active: false })];
    const tanks = [...vehicle('v-2', { capacity: gal(70) }), ...vehicle('v-3', { capacity: gal(20) })];
    // 50, 70 and 20 gallons; a tank of no known size lets the hose decide.
    expect(most({}, ...free, ...tanks)).toBe(gal(70));
    expect(most({}, ...free, ...tanks, ...vehicle('v-4', { capacity: null }))).toBe(gal(80));
  });

  it('is of a department also where others are like those of it, and of nobody else who is named beside it', () => {
    const roads = driver('d-2', { allowances: ['day-crew', 'pool'], department: 'Roads' });
    expect(most({ department: 'Roads' }, ...NO_VEHICLE, ...roads)).toBe(gal(40));
    expect(most({ department: 'Haulage' }, ...NO_VEHICLE, ...roads)).toBe(gal(40));
    expect(most({ department: 'Stores' }, ...NO_VEHICLE, ...roads)).toBe(0);
    expect(most({ department: 'Stores', driver: 'd-1' }, ...NO_VEHICLE, ...roads)).toBe(0);
  });
});
