import { compile } from '@fillwright/core/decide';
import {
  Book,
  type Difference,
  LiveDifference,
  NARROWED_TO_NOTHING,
  type Narrowing,
  narrowed,
  reachTable,
  sectionsOf,
} from '@fillwright/core/reach';
import { dayOfDate, type ZoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { last } from '../../test/edited.ts';
import { fleetOf, type Rows } from '../../test/rows.ts';

const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
/** A Monday. */
const FIRST = dayOfDate(2026, 3, 2);
const LITRE = 1_000_000;

const holder = (id: string, more: object = {}) => ({ id, name: id, allowances: ['a'], ...more });
const tank = (id: string, litres: number) => holder(id, { capacity: litres * LITRE });
/** Cards, each as whom it names. */
const cards = (...names: string[]): NonNullable<Rows['credentials']> =>
  names.map((named, n) => ({
    ...{ id: `c${n}`, number: `${n}` },
    driver: named.match(/d\d/)?.[0] ?? null,
    vehicle: named.match(/v\d/)?.[0] ?? null,
  }));
const allowance = (id: string, litres: number | null, more: object = {}) => ({
  ...{ id, name: id, products: ['p'], perFill: litres === null ? null : litres * LITRE },
  ...more,
});
/** One hose at each of two sites that must know a driver and a vehicle. */
const PLACES = {
  products: [{ id: 'p', name: 'p' }],
  sites: ['s', 't'].map((id) => ({ id, name: id, zone: 'UTC', identify: 'both' as const })),
  hoses: ['s', 't'].map((site) => ({ id: `h${site}`, site, product: 'p', mostPerFill: 100 * LITRE })),
  allowances: [allowance('a', 40)],
} satisfies Rows;

function between(before: Rows, after: Rows, days = 1) {
  const book = new Book();
  const fleets = [before, after].map((rows) => fleetOf({ ...PLACES, ...rows }));
  const [table, next] = fleets.map((fleet) =>
    reachTable(
      compile(fleet, () => UTC),
      [FIRST, FIRST + days - 1],
      book,
    ),
  );
  const [was, is] = fleets;
  if (!table || !next || !was || !is) throw new Error('two fleets');
  const live = last(LiveDifference.begin(table, next));
  const say = ({ groups }: Difference) =>
    groups
      .map((g) => ({
        kind: g.kind,
        rules: [g.whyBefore, g.whyAfter].map((n) => book.reasons[n]?.allowance ?? book.reasons[n]?.rule ?? null),
        drivers: [...g.drivers].sort().join(' '),
        vehicles: [...g.vehicles].sort().join(' '),
        hoses: [...g.hoses].sort().join(' '),
        litres: [g.before, g.after].map((range) => range.map((n) => n / LITRE)),
        points: Number(g.points),
        each: g.who.together.each,
        witness: g.witness,
      }))
      .sort((a, b) => (JSON.stringify(a) < JSON.stringify(b) ? -1 : 1));
  const within = (to: Partial<Narrowing>) =>
    last(narrowed(live, sectionsOf(was, is, { ...NARROWED_TO_NOTHING, ...to })));
  return {
    within,
    all: () => say(live.difference()),
    ofDriver: (driver: string) => say(within({ driver })),
  };
}

describe('whom a group of changes names', () => {
  const drivers = ['d1', 'd2', 'd3', 'd4'];
  /** Drivers have cards, vehicles get theirs with the draft; whom one card names together could draw before. */
  const gained = (rows: Rows, ...together: string[]) => {
    const own = (rows.drivers ?? []).map((d) => d.id);
    const vehicles = (rows.vehicles ?? []).map((v) => v.id);
    return between(
      { ...rows, credentials: cards(...own, ...together) },
      { ...rows, credentials: cards(...own, ...together, ...vehicles) },
      2,
    );
  };

  it('says that each has it with each only where nobody is spared by a card for two', () => {
    const rows = { drivers: drivers.map((id) => holder(id)), vehicles: [holder('v1'), holder('v2')] };
    const named = { kind: 'gained', drivers: 'd2 d3 d4', vehicles: 'v1 v2' };
    expect(gained(rows, 'd1 v1', 'd1 v2').all()).toMatchObject([{ ...named, each: true }]);
    expect(gained(rows, 'd1 v1', 'd1 v2', 'd2 v1', 'd3 v1').all()).toMatchObject([{ ...named, each: false }]);
  });

  it('leaves out the place at which only those meet whom a card for two spares', () => {
    const rows = {
      drivers: [holder('d1'), holder('d2', { sites: ['s'] })],
      vehicles: [holder('v1'), holder('v2', { sites: ['s'] })],
    };
    const found = gained(rows, 'd1 v1');
    expect(found.all()).toMatchObject([{ drivers: 'd1 d2', vehicles: 'v1 v2', hoses: 'hs' }]);
    expect(found.ofDriver('d1')).toMatchObject([{ drivers: 'd1', vehicles: 'v2', hoses: 'hs' }]);
  });

  it('does not ask who may not come to a place of their card for two there', () => {
    const rows = {
      drivers: [holder('d1', { sites: ['s'] }), holder('d2')],
      vehicles: [holder('v1'), holder('v2', { sites: ['s'] })],
    };
    const found = gained(rows, 'd1 v1', 'd2 v2');
    expect(found.all()).toMatchObject([{ drivers: 'd1 d2', vehicles: 'v1 v2', hoses: 'hs ht' }]);
    expect(found.ofDriver('d1')).toMatchObject([{ drivers: 'd1', vehicles: 'v2', hoses: 'hs', points: 2 * 1440 }]);
    expect(found.ofDriver('d2')).toMatchObject([{ drivers: 'd2', vehicles: 'v1', hoses: 'hs ht', points: 4 * 1440 }]);
    expect(gained({ ...rows, hoses: PLACES.hoses.slice(1) }, 'd1 v1').all()).toMatchObject([
      { drivers: 'd2', vehicles: 'v1', hoses: 'ht' },
    ]);
  });

  it('names who meets others, too, whom somebody else met before', () => {
    const later = { drivers: [holder('d3', { validFrom: '2026-03-03' }), holder('d1'), holder('d2')] };
    const rows = { ...later, vehicles: [holder('v1'), tank('v2', 90)] };
    expect(gained(rows, 'd1 v1').all()).toMatchObject([{ drivers: 'd1 d2 d3', vehicles: 'v1 v2' }]);
  });

  it('counts at each of two hoses that are alike whom a card for two spares', () => {
    const two = ['h1', 'h2'].map((id) => ({ id, site: 's', product: 'p', mostPerFill: 100 * LITRE }));
    const rows = { hoses: two, drivers: [holder('d1'), holder('d2')], vehicles: [holder('v1'), holder('v2')] };
    const found = gained(rows, 'd1 v1');
    // Three pairs of four, at two hoses, on two days.
    expect(found.all()).toMatchObject([{ hoses: 'h1 h2', points: 12 * 1440 }]);
    expect(found.ofDriver('d1')).toMatchObject([{ vehicles: 'v2', hoses: 'h1 h2', points: 4 * 1440 }]);
    const all = { gained: 6 * 1440, lost: 0, raised: 0, lowered: 0 };
    expect([...found.within({}).hoses]).toEqual([
      ['h1', all],
      ['h2', all],
    ]);
  });

  it('is touched only with something of their own, be it beside what a card for two spares', () => {
    const rows = { drivers: [holder('d1')], vehicles: [holder('v1'), tank('v2', 20)] };
    const touched = (...together: string[]) => {
      const { drivers, vehicles } = gained(rows, ...together)
        .within({})
        .touched();
      return [[...drivers].sort().join(' '), [...vehicles].sort().join(' ')];
    };
    expect(touched()).toEqual(['d1', 'v1 v2']);
    expect(touched('d1 v1')).toEqual(['d1', 'v2']);
    expect(touched('d1 v2')).toEqual(['d1', 'v1']);
    expect(touched('d1 v1', 'd1 v2')).toEqual(['', '']);
  });

  it('adds at a hose what is raised and lowered for a department, its people and its vehicles', () => {
    const of = (id: string, litres: number, department: string) => ({ ...tank(id, litres), department });
    const credentials = cards('d1', 'd2', 'v1', 'v2');
    const rows = {
      ...{ allowances: [allowance('a', null)], hoses: PLACES.hoses.slice(0, 1), credentials },
      drivers: [holder('d1', { department: 'Roads' }), holder('d2')],
    };
    const before = { ...rows, vehicles: [of('v1', 20, 'Roads'), of('v2', 35, 'Roads')] };
    const after = { ...rows, vehicles: [of('v1', 30, 'Roads'), of('v2', 25, 'Roads')] };
    // Each driver with each vehicle: one of the department's people, or somebody else with a vehicle of it.
    expect([...between(before, after).within({ department: 'Roads' }).hoses]).toEqual([
      ['hs', { gained: 0, lost: 0, raised: 2 * 1440, lowered: 2 * 1440 }],
    ]);
  });

  it('names who is spared at one time and not at another', () => {
    const nights = allowance('n', 45, { times: [{ days: [0], from: 0, to: 360 }] });
    const rows = {
      allowances: [...PLACES.allowances, nights],
      drivers: [holder('d1'), holder('d2')],
      vehicles: [holder('v1', { allowances: [] }), holder('v2', { allowances: ['n'] })],
    };
    // By day the second vehicle may do nothing, and the first driver could draw with the first vehicle before.
    expect(gained(rows, 'd1 v1').all()).toMatchObject([{ rules: [null, 'a'], drivers: 'd1 d2', vehicles: 'v1 v2' }]);
  });

  it('names of those who leave more than one who decides only whoever comes on the same days', () => {
    const [early, late] = [{ validUntil: '2026-03-02' }, { validFrom: '2026-03-03' }];
    const sizes = ['a', 'b', 'c', 'd'].map((id, n) => allowance(id, 50 + 10 * n));
    const allowances = [allowance('e', 30), ...sizes];
    for (const dates of [
      [early, early, late, late],
      [late, late, early, early],
      [early, late, early, late],
    ]) {
      const more = (id: string) => dates.map((d, n) => holder(`${id}${n + 2}`, { ...d, allowances: [sizes[n]?.id] }));
      const met = dates.flatMap((d, n) => (d === late ? [n + 2] : []));
      // The one comes on the first day, and then on the second, too.
      const one = (id: string, on: object) => holder(id, { ...on, allowances: ['e'] });
      const shown = (rows: (on: object) => Rows) => {
        const ids = [...(rows({}).drivers ?? []), ...(rows({}).vehicles ?? [])].map((row) => row.id);
        const at = (on: object) => ({ ...rows(on), allowances, credentials: cards(...ids) });
        return between(at(early), at({}), 2).all();
      };
      expect(shown((on) => ({ drivers: [one('d1', on)], vehicles: more('v') }))).toMatchObject([
        { rules: [null, 'e'], drivers: 'd1', vehicles: met.map((n) => `v${n}`).join(' ') },
      ]);
      expect(shown((on) => ({ drivers: more('d'), vehicles: [one('v1', on)] }))).toMatchObject([
        { rules: [null, 'e'], drivers: met.map((n) => `d${n}`).join(' '), vehicles: 'v1' },
      ]);
    }
  });

  it('tells the least and the most of those who are named, and of nobody else', () => {
    const rows = { allowances: [allowance('a', null)], drivers: [holder('d1')] };
    const vehicles = [tank('v1', 20), tank('v2', 35), tank('v3', 27)];
    for (const [i, j, k] of [
      [0, 1, 2],
      [1, 0, 2],
      [2, 1, 0],
      [1, 2, 0],
    ] as const) {
      const some = [vehicles[i], vehicles[j], vehicles[k]] as typeof vehicles;
      const all = { ...rows, vehicles: some, credentials: cards('d1', ...some.map((v) => v.id)) };
      const none = { ...all, credentials: cards('d1') };
      const named = { drivers: 'd1', vehicles: 'v1 v2 v3' };
      expect(between(none, all).all()).toMatchObject([
        {
          ...named,
          kind: 'gained',
          litres: [
            [0, 0],
            [20, 35],
          ],
        },
      ]);
      expect(between(all, none).all()).toMatchObject([
        {
          ...named,
          kind: 'lost',
          litres: [
            [20, 35],
            [0, 0],
          ],
        },
      ]);
    }
    // Whom a card for two spares had as much before.
    expect(gained({ ...rows, vehicles: vehicles.slice(0, 2) }, 'd1 v1').all()).toMatchObject([
      {
        vehicles: 'v2',
        litres: [
          [0, 0],
          [35, 35],
        ],
      },
    ]);
  });

  it('is apart by what decides: the lower of two, and of two as low the one that comes first', () => {
    const two = { allowances: [allowance('a', null), allowance('b', 30)] };
    const own = {
      drivers: [holder('d1'), holder('d2', { allowances: ['b'] })],
      vehicles: [tank('v1', 20), tank('v2', 35)],
    };
    expect(gained({ ...two, ...own }).all()).toMatchObject([
      {
        rules: [null, 'b'],
        drivers: 'd2',
        vehicles: 'v2',
        litres: [
          [0, 0],
          [30, 30],
        ],
      },
      {
        rules: [null, 'vehicle-tank'],
        drivers: 'd1 d2',
        vehicles: 'v1 v2',
        litres: [
          [0, 0],
          [20, 35],
        ],
      },
    ]);
    const thirty = {
      allowances: [allowance('b', 30), allowance('c', 30)],
      drivers: [holder('d2', { allowances: ['b'] }), holder('d3', { allowances: ['c'] })],
      vehicles: [tank('v2', 35), tank('v1', 20)],
    };
    expect(gained(thirty).all()).toMatchObject([
      { rules: [null, 'b'], drivers: 'd2', vehicles: 'v2' },
      { rules: [null, 'c'], drivers: 'd3', vehicles: 'v2' },
      { rules: [null, 'vehicle-tank'], drivers: 'd2 d3', vehicles: 'v1' },
    ]);
    const lost = between(
      { ...thirty, credentials: cards('d2', 'd3', 'v2', 'v1') },
      { ...thirty, credentials: cards('d2', 'd3') },
    );
    expect(lost.all()).toMatchObject([
      { rules: ['b', null], drivers: 'd2', vehicles: 'v2' },
      { rules: ['c', null], drivers: 'd3', vehicles: 'v2' },
      { rules: ['vehicle-tank', null], drivers: 'd2 d3', vehicles: 'v1' },
    ]);
    // The hose leaves as much as what the vehicle holds.
    const equal = {
      hoses: PLACES.hoses.map((h) => ({ ...h, mostPerFill: 40 * LITRE })),
      allowances: [allowance('a', 50), allowance('b', 40)],
      drivers: [holder('d1')],
      vehicles: [holder('v1', { allowances: ['b'] })],
    };
    const found = { drivers: 'd1', vehicles: 'v1', hoses: 'hs ht' };
    expect(gained(equal).all()).toMatchObject([{ ...found, rules: [null, 'b'] }]);
    const [none, all] = [cards('d1'), cards('d1', 'v1')];
    expect(between({ ...equal, credentials: all }, { ...equal, credentials: none }).all()).toMatchObject([
      { ...found, rules: ['b', null] },
    ]);
  });

  it('is apart by what decides, whoever of the two comes or goes, and whoever was met first', () => {
    const rows = {
      hoses: PLACES.hoses.slice(0, 1).map((h) => ({ ...h, mostPerFill: 60 * LITRE })),
      allowances: [allowance('a', 90), allowance('b', 40), allowance('c', 60)],
    };
    const none = { allowances: [] };
    // Of rooms as large an allowance decides before the hose, and that before a tank.
    const equal = [
      {
        rows: {
          ...rows,
          drivers: [holder('d1')],
          vehicles: [holder('v1', { allowances: ['c'] }), holder('v2', none), { ...tank('v3', 60), ...none }],
        },
        groups: { c: ['d1', 'v1'], 'hose-most': ['d1', 'v2 v3'] },
      },
      {
        rows: {
          ...rows,
          drivers: [holder('d1', { allowances: ['b'] }), holder('d2'), holder('d3', { allowances: ['b'] })],
          vehicles: [{ ...tank('v1', 40), ...none }],
        },
        groups: { b: ['d1 d3', 'v1'], 'vehicle-tank': ['d2', 'v1'] },
      },
    ];
    for (const { rows: given, groups } of equal) {
      const [drivers, vehicles] = [given.drivers.map((d) => d.id), given.vehicles.map((v) => v.id)];
      const all = { ...given, credentials: cards(...drivers, ...vehicles) };
      for (const some of [cards(...drivers), cards(...vehicles)]) {
        const fewer = { ...given, credentials: some };
        for (const [kind, was, is] of [
          ['gained', fewer, all],
          ['lost', all, fewer],
        ] as const) {
          const found = between(was, is).all();
          expect(found.map((g) => [g.kind, g.rules[kind === 'gained' ? 1 : 0], g.drivers, g.vehicles])).toEqual(
            Object.entries(groups).map(([rule, who]) => [kind, rule, ...who]),
          );
          expect(found.every((g) => g.each)).toBe(true);
        }
      }
    }
  });

  it('is apart by what decides on either side where only one of them changes', () => {
    const hoses = PLACES.hoses.slice(0, 1).map((h) => ({ ...h, mostPerFill: 60 * LITRE }));
    const told = (before: Rows, after: Rows) =>
      between(before, after)
        .all()
        .map((g) => [g.kind, ...g.rules, g.drivers, g.vehicles].join(' '));
    // The hose leaves as much as an allowance of one vehicle, until the driver's own leaves less.
    const driver = (litres: number) => ({
      ...{ hoses, credentials: cards('d1', 'v1', 'v2'), drivers: [holder('d1')] },
      allowances: [allowance('a', litres), allowance('c', 60), allowance('e', null)],
      vehicles: [holder('v1', { allowances: ['c'] }), holder('v2', { allowances: ['e'] })],
    });
    expect(told(driver(90), driver(30))).toEqual(['lowered c a d1 v1', 'lowered hose-most a d1 v2']);
    expect(told(driver(30), driver(90))).toEqual(['raised a c d1 v1', 'raised a hose-most d1 v2']);
    // The vehicle's allowance leaves as much as the first driver's own and as the hose, until its tank leaves less.
    const vehicle = (litres: number) => ({
      ...{ hoses, credentials: cards('d1', 'd2', 'v1') },
      allowances: [allowance('a', 90), allowance('b', 60), allowance('c', 60)],
      drivers: [holder('d1', { allowances: ['b'] }), holder('d2')],
      vehicles: [{ ...tank('v1', litres), allowances: ['c'] }],
    });
    expect(told(vehicle(90), vehicle(20))).toEqual(['lowered b vehicle-tank d1 v1', 'lowered c vehicle-tank d2 v1']);
    expect(told(vehicle(20), vehicle(90))).toEqual(['raised vehicle-tank b d1 v1', 'raised vehicle-tank c d2 v1']);
  });

  it('leaves out of all who are named somebody spared, where another comes alone', () => {
    const rows = {
      sites: PLACES.sites.map((s) => ({ ...s, identify: 'either' as const })),
      drivers: ['d1', 'd2', 'd3'].map((id) => holder(id)),
      vehicles: [holder('v1', { allowances: [] })],
    };
    const before = { ...rows, credentials: cards('d1', 'd2', 'd1 v1') };
    const after = { ...rows, credentials: cards('d1', 'd2', 'd1 v1', 'd3', 'v1') };
    expect(between(before, after).all()).toMatchObject([{ kind: 'gained', drivers: 'd2 d3', vehicles: 'v1' }]);
  });

  it('is apart by whether more or less may be drawn by the same rule', () => {
    const rows = { allowances: [allowance('a', null)], drivers: [holder('d1')], credentials: cards('d1', 'v1', 'v2') };
    const before = { ...rows, vehicles: [tank('v1', 20), tank('v2', 35)] };
    const after = { ...rows, vehicles: [tank('v1', 30), tank('v2', 25)] };
    expect(between(before, after).all()).toMatchObject([
      {
        kind: 'lowered',
        vehicles: 'v2',
        litres: [
          [35, 35],
          [25, 25],
        ],
      },
      {
        kind: 'raised',
        vehicles: 'v1',
        litres: [
          [20, 20],
          [30, 30],
        ],
      },
    ]);
  });
});

describe('when a witness of a change is', () => {
  const at = (rows: Rows, credentials: NonNullable<Rows['credentials']>, days: number) => {
    const driver = { ...rows, sites: PLACES.sites.map((s) => ({ ...s, identify: 'driver' as const })), credentials };
    const before = { ...driver, drivers: [holder('d1', { allowances: [] })] };
    const [group] = between(before, { ...driver, drivers: [holder('d1')] }, days).all();
    return [(group?.witness.day ?? 0) - FIRST, group?.witness.minute];
  };
  const on = (day: number, from = 0, to = 1440) => ({
    allowances: [allowance('a', 40, { times: [{ days: [day], from, to }] })],
  });

  it('is a minute of the day on which it is, also where that is the midnight after another', () => {
    expect(at(on(1), cards('d1'), 7)).toEqual([1, 0]);
    expect(at(on(1, 90, 600), cards('d1'), 7)).toEqual([1, 90]);
    // From an evening into the night.
    expect(
      at(
        on(0, 1200, 60),
        cards('d1').map((c) => ({ ...c, validFrom: '2026-03-03' })),
        7,
      ),
    ).toEqual([1, 0]);
  });

  it('is a day on which they come, though there is an earlier one of that weekday', () => {
    const days = ['2026-03-02', '2026-03-11'];
    const dated = cards('d1', 'd1').map((c, n) => ({
      ...c,
      validFrom: days[n] as string,
      validUntil: days[n] as string,
    }));
    expect(at(on(2), dated, 14)).toEqual([9, 0]);
  });
});
