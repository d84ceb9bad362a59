import { decide, NO_USAGE } from '@fillwright/core/decide';
import { Book, differenceOf, type Here, hereOf, type Place, standingOf, type Table } from '@fillwright/core/reach';
import { parseDate } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { instantsOf, UTC } from '../show/site-time.ts';
import { fleetWith, GAL, type Rows, tableOf } from '../testing/fleet-with.ts';
import { type Told, toldOf } from './told.ts';
import { daysWords, namesAndMore, rangeWords } from './words.ts';

const weekdays = [{ days: [0, 1, 2, 3, 4], from: 360, to: 1080 }];
const BASE = {
  sites: [{ id: 'north', name: 'North yard', zone: 'UTC', identify: 'driver', closed: ['2026-12-25'] }],
  products: [{ id: 'diesel', name: 'Diesel' }],
  hoses: [
    { id: 'h1', number: 1, site: 'north', product: 'diesel', mostPerFill: 100 * GAL },
    { id: 'h2', number: 2, site: 'north', product: 'diesel', mostPerFill: 100 * GAL },
  ],
  allowances: [{ id: 'crew', name: 'Day crew', products: ['diesel'], perFill: 40 * GAL, times: weekdays }],
  drivers: [
    { id: 'ana', name: 'Ana Voss', allowances: ['crew'], department: 'Roads' },
    { id: 'ben', name: 'Ben Ode', allowances: [] },
    { id: 'cal', name: 'Cal Rudd', allowances: ['crew'] },
    { id: 'dot', name: 'Dot Imm', allowances: ['crew'], active: false },
  ],
  vehicles: [{ id: 'van', name: 'Van 4', allowances: ['crew'], capacity: 20 * GAL }],
  credentials: [
    { id: 'c1', number: '1001', driver: 'ana' },
    { id: 'c2', number: '1002', driver: 'ben', validUntil: '2027-01-31' },
    { id: 'c3', number: '1003', driver: 'cal', stopped: true },
    { id: 'c4', number: '2001', vehicle: 'van' },
  ],
} satisfies Rows;

function whereOf(of: Table, place: Place): Here {
  const steps = hereOf(of, place);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}
const table = tableOf(fleetWith(BASE));
const nobody: Place = { site: 'north', driver: null, vehicle: null, department: null };

describe('what may be drawn at a site', () => {
  it('is told by stretch with the rule that decides, as the decision would have it', () => {
    const here = whereOf(table, { ...nobody, driver: 'ana' });
    expect(here.cards).toEqual(['1001']);
    expect(daysWords(here.closed)).toBe('2026-12-25');
    const week = here.weeks[0];
    expect(here.weeks).toHaveLength(1);
    expect(week?.hoses).toEqual(['h1', 'h2']);
    const open = week?.stretches.filter((s) => s.room > 0) ?? [];
    expect(open.map((s) => [s.from, s.to, s.room, s.by])).toEqual(
      [0, 1, 2, 3, 4].map((d) => [d * 1440 + 360, d * 1440 + 1080, 40 * GAL, 'per fill of “Day crew”']),
    );
    expect(week?.stretches.find((s) => s.room === 0)?.by).toBe('outside the times of “Day crew”');
    for (const [time, limit] of [
      ['05:59', 0],
      ['06:00', 40 * GAL],
      ['17:59', 40 * GAL],
      ['18:00', 0],
    ] as const) {
      const at = instantsOf('2026-11-26', time, UTC)?.[0] ?? 0;
      const request = { site: 'north', hose: 'h1', at, credentials: here.cards, pin: 'right' as const, answers: {} };
      const decision = decide(table.policy, request, NO_USAGE);
      expect(decision.approved ? decision.limit : 0, time).toBe(limit);
    }
  });
  it('takes the vehicle’s tank and its card in', () => {
    const here = whereOf(table, { ...nobody, driver: 'ana', vehicle: 'van' });
    expect(here.cards).toEqual(['1001', '2001']);
    const open = here.weeks[0]?.stretches.find((s) => s.room > 0);
    expect(open).toMatchObject({ room: 20 * GAL, by: 'what the vehicle’s own tank holds' });
  });
  it('says why there is nothing', () => {
    expect(whereOf(table, { ...nobody, vehicle: 'van' }).weeks[0]?.nothing).toBe('the site must know a driver');
    expect(whereOf(table, { ...nobody, driver: 'ben' }).weeks[0]?.nothing).toBe('nobody presented holds an allowance');
  });
  it('shows the most that anybody of a department may draw', () => {
    const [week] = whereOf(table, { ...nobody, department: 'Roads' }).weeks;
    expect(week?.stretches.find((s) => s.room > 0)).toMatchObject({ from: 360, room: 40 * GAL });
    expect(whereOf(table, { ...nobody, department: 'None such' }).weeks[0]?.nothing).toBe(
      'nobody of them may draw here',
    );
  });
  it('tells of every site the most that any gives of a product, and what each gives', () => {
    const two = tableOf(
      fleetWith({
        ...BASE,
        sites: [...BASE.sites, { id: 'south', name: 'South yard', zone: 'UTC', identify: 'driver' }],
        hoses: [...BASE.hoses, { id: 's1', number: 1, site: 'south', product: 'diesel', mostPerFill: 10 * GAL }],
        allowances: [...BASE.allowances, { id: 'night', name: 'Night', products: ['diesel'], sites: ['south'] }],
        drivers: [{ id: 'ana', name: 'Ana Voss', allowances: ['crew', 'night'] }],
      }),
    );
    const here = whereOf(two, { ...nobody, site: '', driver: 'ana' });
    expect(here.sites.map((s) => [s.site, s.hoses.join()])).toEqual([
      ['north', 'h1,h2'],
      ['south', 's1'],
    ]);
    expect(here.weeks).toHaveLength(1);
    const at = (minute: number) => here.weeks[0]?.stretches.find((s) => s.from <= minute && minute < s.to)?.room;
    // By day the crew's allowance at the north yard gives more; by night the south yard alone is open.
    expect([at(12 * 60), at(0)]).toEqual([40 * GAL, 10 * GAL]);
    expect(whereOf(two, { ...nobody, site: '', department: 'None such' }).weeks[0]?.nothing).toBe(
      'nothing may be drawn at any site',
    );
  });
  it('counts who can draw alone, only with a vehicle, and never', () => {
    // Ben has no allowance of his own, and draws with the van; Cal's card is stopped; Dot is not active.
    expect(whereOf(table, nobody).counts).toEqual([
      {
        hoses: ['h1', 'h2'],
        product: 'Diesel',
        driversAlone: 1,
        driversWithVehicle: 1,
        driversNever: 2,
        vehiclesAlone: 0,
      },
    ]);
  });
});

describe('who stands there', () => {
  const why = (of: Table, driver: string | null, vehicle: string | null = null) => {
    const s = standingOf(of, driver, vehicle);
    return s.stands ? `on ${daysWords(s.days)}` : s.why;
  };
  it('needs a credential that is good, and dates that meet', () => {
    expect(why(table, 'ana')).toBe('on 2026-11-25 to 2027-11-24');
    expect(why(table, 'ben')).toBe('on 2026-11-25 to 2027-01-31');
    expect(why(table, 'ben', 'van')).toBe('on 2026-11-25 to 2027-01-31');
    expect(why(table, 'cal')).toContain('No credential of Cal Rudd is good');
    expect(why(table, 'dot')).toContain('Dot Imm is not active');
    expect(why(table, 'eli')).toContain('not in the roster');
  });
  it('with a card that names both only as both', () => {
    const coupled = tableOf(
      fleetWith({ ...BASE, credentials: [{ id: 'c', number: '7', driver: 'ana', vehicle: 'van' }] }),
    );
    expect(why(coupled, 'ana')).toContain('choose Van 4 too');
    expect(why(coupled, 'ana', 'van')).toBe('on 2026-11-25 to 2027-11-24');
    expect(whereOf(coupled, { ...nobody, driver: 'ana', vehicle: 'van' }).cards).toEqual(['7']);
    expect(whereOf(coupled, nobody).counts[0]).toMatchObject({ driversAlone: 0, driversWithVehicle: 1 });
  });
});

function between(before: Rows, after: Rows): Told {
  const book = new Book();
  const [old, next] = [tableOf(fleetWith(before), book), tableOf(fleetWith(after), book)];
  const running = differenceOf(old, next);
  for (;;) {
    const step = running.next();
    if (step.done) return toldOf(step.value, old, next, { since: 1 });
  }
}

describe('a difference in words', () => {
  it('names who, what and where, the limits and rules before and after, and a moment to try', () => {
    const raised = { ...BASE, allowances: [{ ...BASE.allowances[0], id: 'crew', perFill: 60 * GAL }], vehicles: [] };
    const told = between({ ...BASE, vehicles: [] }, raised);
    expect(told.lines).toHaveLength(1);
    const [line] = told.lines;
    expect(line).toMatchObject({
      kind: 'raised',
      who: ['Ana Voss, without a vehicle'],
      product: 'Diesel',
      sites: 'North yard',
      hoses: 2,
      before: '40 gal',
      after: '60 gal',
      whyBefore: 'per fill of “Day crew”',
      whyAfter: 'per fill of “Day crew”',
    });
    // 261 weekdays in the year from Wednesday, 2026-11-25, less Christmas Day, a Friday; two hoses; 720 minutes a day.
    expect(line?.points).toBe(260n * 2n * 720n);
    expect(line?.bench).toEqual({
      site: 'north',
      hose: 'h1',
      pin: 'right',
      card: '1001',
      at: String((parseDate('2026-11-30') ?? 0) * 86_400_000 + 360 * 60_000),
    });
  });
  it('tells of losses with the names that are gone', () => {
    const [line] = between(BASE, { ...BASE, drivers: BASE.drivers.slice(1), vehicles: [] }).lines.filter(
      (l) => l.kind === 'lost' && l.whyBefore.startsWith('per fill'),
    );
    expect(line).toMatchObject({
      who: ['Ana Voss, without a vehicle'],
      after: 'nothing',
      whyAfter: 'not open to them',
    });
    expect(line?.bench).toMatchObject({ card: '1001', hose: 'h1' });
  });
  it('is empty where nothing changes', () => {
    const told = between(BASE, BASE);
    expect(told.lines).toEqual([]);
    expect(told.points).toEqual({ gained: 0n, lost: 0n, raised: 0n, lowered: 0n });
  });
});

it('puts names before counts', () => {
  expect(namesAndMore([], 0)).toBe('');
  expect(namesAndMore(['A'], 1)).toBe('A');
  expect(namesAndMore(['A', 'B', 'C'], 3)).toBe('A, B and C');
  expect(namesAndMore(['A', 'B', 'C'], 1402)).toBe('A, B and 1,400 more');
});

it('tells ranges in the fleet’s unit', () => {
  const fleet = fleetWith({});
  expect(rangeWords(fleet, [0, 0])).toBe('nothing');
  expect(rangeWords(fleet, [40 * GAL, 40 * GAL])).toBe('40 gal');
  expect(rangeWords(fleet, [20 * GAL, 40 * GAL])).toBe('20 to 40 gal');
});
