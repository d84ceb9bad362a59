import { compile, LEAST_USEFUL } from '@fillwright/core/decide';
import type { Edit } from '@fillwright/core/fleet';
import { type Here, hereOf, type Place, reachTable } from '@fillwright/core/reach';
import { dayOfDate, type ZoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { last } from '../../test/edited.ts';
import { gal, put, remove, set, yard } from '../../test/yard.ts';

const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
/** A Monday to a Sunday. */
const FIRST = dayOfDate(2026, 3, 2);
const LAST = FIRST + 6;
const NOBODY: Place = { site: 'north', driver: null, vehicle: null, department: null };
const BOTH = { driver: 'd-1', vehicle: 'v-1' };

const here = (place: Partial<Place>, ...edits: readonly Edit[]): Here =>
  last(
    hereOf(
      reachTable(
        compile(yard(...edits), () => UTC),
        [FIRST, LAST],
      ),
      { ...NOBODY, ...place },
    ),
  );

/** What is said of the hose of a product where nothing may be drawn from it. */
const nothing = (place: Partial<Place>, edits: readonly Edit[], product = 'Diesel') =>
  here(place, ...edits).weeks.find((w) => w.product === product)?.nothing;

const identify = (need: string) => set('sites', 'north', { identify: need });
/** A number of few digits of which every accepted answer has more: nobody can give one. */
const unanswerable = put('questions', { id: 'code', prompt: 'Code?', kind: 'job', digits: 2, accepted: ['12345'] });

describe('why nothing may be drawn', () => {
  it('is said of whoever was chosen, in the order in which a decision looks', () => {
    expect(nothing({ driver: 'd-1' }, [identify('both')])).toBe('the site must know a driver and a vehicle');
    expect(nothing({ driver: 'd-1' }, [identify('vehicle')])).toBe('the site must know a vehicle');
    expect(nothing({ vehicle: 'v-1' }, [identify('driver')])).toBe('the site must know a driver');
    const denied = (table: 'drivers' | 'vehicles', id: string) => [identify('both'), set(table, id, { sites: [] })];
    expect(nothing({ driver: 'd-1' }, denied('drivers', 'd-1'))).toBe('not one of their sites');
    expect(nothing({ vehicle: 'v-1' }, denied('vehicles', 'v-1'))).toBe('not one of their sites');
    expect(nothing(BOTH, denied('vehicles', 'v-1'))).toBe('not one of their sites');
    const asked = (table: 'sites' | 'drivers' | 'vehicles', id: string) => [
      identify('either'),
      unanswerable,
      set(table, id, { questions: ['code'] }),
    ];
    for (const [table, id] of [
      ['sites', 'north'],
      ['drivers', 'd-1'],
      ['vehicles', 'v-1'],
    ] as const)
      expect(nothing(BOTH, asked(table, id)), table).toBe('a question that no answer satisfies');
    expect(nothing({ driver: 'd-1' }, [...asked('drivers', 'd-1'), identify('vehicle')])).toBe(
      'the site must know a vehicle',
    );
    const two = [unanswerable, set('sites', 'north', { identify: 'either', questions: ['odometer', 'code'] })];
    expect(nothing(BOTH, two)).toBe('a question that no answer satisfies');
    expect(nothing({ driver: 'd-1' }, [identify('both'), set('drivers', 'd-1', { sites: ['north'] })])).toBe(
      'the site must know a driver and a vehicle',
    );
    const bare = [set('drivers', 'd-1', { allowances: [] }), set('vehicles', 'v-1', { allowances: [] })];
    for (const [place, need] of [
      [{ driver: 'd-1' }, 'driver'],
      [{ vehicle: 'v-1' }, 'vehicle'],
      [BOTH, 'both'],
    ] as const)
      expect(nothing(place, [identify(need), ...bare]), need).toBe('nobody presented holds an allowance');
  });

  it('is said with the rules that leave nothing, each once and three at most', () => {
    const [crew, vans, pool] = ['Day crew diesel', 'Vans', 'Pool petrol'];
    // Until noon the one, from noon the other: never both.
    const halves = [
      identify('either'),
      set('allowances', 'day-crew', { times: [{ days: [0, 1, 2, 3, 4, 5, 6], from: 0, to: 720 }] }),
      set('allowances', 'vans', { times: [{ days: [0, 1, 2, 3, 4, 5, 6], from: 720, to: 1440 }] }),
    ];
    expect(nothing(BOTH, halves)).toBe(`outside the times of “${vans}”; outside the times of “${crew}”`);
    expect(nothing(BOTH, [identify('either'), set('drivers', 'd-1', { allowances: ['pool'] })])).toBe(
      'no allowance that covers this product at this site',
    );
    const little = set('allowances', 'pool', { perWeek: LEAST_USEFUL - 1 });
    expect(nothing({ driver: 'd-1' }, [identify('either'), little], 'Petrol')).toBe(
      `per week of “${pool}”, which leaves less than the least that is given`,
    );
    // Four that each leave too little on a day of their own, and nothing on the rest.
    const days = [0, 1, 2, 3].map((day) =>
      put('allowances', {
        ...{ id: `a${day}`, name: `A${day}`, products: ['diesel'], perFill: 0 },
        times: [{ days: [day], from: 0, to: 1439 }],
      }),
    );
    const holding = set('drivers', 'd-1', { allowances: ['a0', 'a1', 'a2', 'a3'] });
    expect(nothing({ driver: 'd-1' }, [identify('either'), ...days, holding])).toBe(
      'per fill of “A0”; outside the times of “A0”; per fill of “A1”',
    );
  });

  it('is said where times and dates do not meet', () => {
    const weekend = [
      identify('either'),
      set('credentials', 'c-1', { validFrom: '2026-03-07', validUntil: '2026-03-08' }),
    ];
    const never = 'its times fall on no day on which they may draw';
    expect(nothing({ driver: 'd-1' }, weekend)).toBe(never);
    expect(nothing({ driver: 'd-1' }, [...weekend, set('credentials', 'c-1', { validFrom: '2026-03-06' })])).toBeNull();
    const least = set('allowances', 'day-crew', { perFill: LEAST_USEFUL });
    expect(nothing({ driver: 'd-1' }, [...weekend, least])).toBe(never);
    // Until midnight, or from midnight on: neither is of the day beside it.
    const monday = { validFrom: '2026-03-02', validUntil: '2026-03-02' };
    const tuesday = { validFrom: '2026-03-03', validUntil: '2026-03-03' };
    for (const [dates, day] of [
      [monday, 1],
      [tuesday, 0],
    ] as const) {
      const times = [{ days: [day], from: 0, to: 1440 }];
      const edits = [identify('either'), set('credentials', 'c-1', dates), set('allowances', 'day-crew', { times })];
      expect(nothing({ driver: 'd-1' }, edits), `${day}`).toBe(never);
    }
    const friday = set('credentials', 'c-1', { validFrom: '2026-03-06', validUntil: '2026-03-06' });
    expect(nothing({ driver: 'd-1' }, [identify('either'), friday])).toBeNull();
    const closed = set('sites', 'north', { closed: ['2026-03-06'] });
    expect(nothing({ driver: 'd-1' }, [identify('either'), friday, closed])).toBe(never);
  });

  it('is said of everybody, of a department, and of every site', () => {
    const closed = [
      identify('either'),
      set('drivers', 'd-1', { active: false }),
      set('vehicles', 'v-1', { active: false }),
    ];
    expect(nothing({}, closed)).toBe('nobody may draw here');
    expect(nothing({ department: 'Haulage' }, closed)).toBe('nobody of them may draw here');
    expect(nothing({ site: '' }, closed)).toBe('nothing may be drawn at any site');
  });
});

describe('whoever may come with one who was chosen', () => {
  const bare = [set('drivers', 'd-1', { allowances: [] }), set('vehicles', 'v-1', { allowances: [] })];

  it('is said to draw nothing, if so, beside the one alone', () => {
    const chosen = (one: Partial<Place>) => nothing({ ...one, withAnybody: true }, [identify('either'), ...bare]);
    expect(chosen({ driver: 'd-1' })).toBe('nothing alone, nor with any vehicle');
    expect(chosen({ vehicle: 'v-1' })).toBe('nothing alone, nor with any driver');
  });

  it('is nobody else where both were chosen', () => {
    expect(here({ ...BOTH, withAnybody: true }, identify('either')).cards).toEqual(['70001', '70002']);
  });

  it('is nobody where the one has no card, and a card for two is good on none of the days', () => {
    const two = (validUntil: string) => [
      put('credentials', { id: 'c-3', number: '70003', ...BOTH, validUntil }),
      remove('credentials', 'c-1'),
    ];
    const driver = { driver: 'd-1', withAnybody: true };
    const found = here(driver, identify('either'), ...two('2026-03-01'));
    expect([found.why === null, found.weeks]).toEqual([false, []]);
    expect(here(driver, identify('either'), ...two('2026-03-02')).why).toBeNull();
  });
});

describe('what is told of a place', () => {
  it('names hoses, product, closed days within the horizon, and the cards that present whoever was chosen', () => {
    const closed = set('sites', 'north', { closed: ['2026-03-04', '2026-04-04'] });
    const found = here(BOTH, identify('either'), closed);
    expect(found.closed).toEqual([FIRST + 2, FIRST + 2]);
    expect(found.weeks.map((w) => [w.hoses, w.product])).toEqual([
      [['hose-1'], 'Diesel'],
      [['hose-2'], 'Petrol'],
    ]);
    expect(found.cards).toEqual(['70001', '70002']);
    const both = put('credentials', { id: 'c-3', number: '70003', ...BOTH });
    expect(here(BOTH, identify('either'), both).cards).toEqual(['70003']);
    const dated = put('credentials', { id: 'c-3', number: '70003', ...BOTH, validFrom: '2026-03-03' });
    expect(here(BOTH, identify('either'), dated).cards).toEqual(['70001', '70002']);
  });

  it('says by stretch how much, and the rule that leaves it', () => {
    const [diesel, petrol] = here(BOTH, identify('either')).weeks;
    const outside = { room: 0, by: 'outside the times of “Day crew diesel”' };
    const open = { room: gal(40), by: 'per fill of “Day crew diesel”' };
    expect(diesel?.stretches).toEqual([
      ...[0, 1, 2, 3, 4].flatMap((day) => [
        { from: day === 0 ? 0 : (day - 1) * 1440 + 1080, to: day * 1440 + 360, ...outside },
        { from: day * 1440 + 360, to: day * 1440 + 1080, ...open },
      ]),
      { from: 4 * 1440 + 1080, to: 10_080, ...outside },
    ]);
    // The allowance, the tank and the hose give 50, 50 and 60.
    expect(petrol?.stretches).toEqual([{ from: 0, to: 10_080, room: gal(50), by: 'per fill of “Vans”' }]);
  });

  it('takes a little that is not given as nothing', () => {
    const by = 'per fill of “Pool petrol”';
    const evenings = [{ days: [0], from: 1080, to: 1440 }];
    const small = put('allowances', { id: 'small', name: 'Small', products: ['petrol'], perFill: LEAST_USEFUL - 1 });
    const pool = set('allowances', 'pool', { perFill: LEAST_USEFUL, times: evenings });
    const holding = set('drivers', 'd-1', { allowances: ['small', 'pool'] });
    const petrol = here({ driver: 'd-1' }, identify('either'), small, pool, holding).weeks[1];
    const little = 'per fill of “Small”, which leaves less than the least that is given';
    expect(petrol?.stretches).toEqual([
      { from: 0, to: 1080, room: 0, by: little },
      { from: 1080, to: 1440, room: LEAST_USEFUL, by },
      { from: 1440, to: 10_080, room: 0, by: little },
    ]);
  });
});
