import { compile } from '@fillwright/core/decide';
import type { Fleet, Site } from '@fillwright/core/fleet';
import { LiveDifference, reachTable } from '@fillwright/core/reach';
import { describe, expect, it } from 'vitest';
import { type Card, drafted, HORIZON, LITRE, yard, zones } from '../../test/few.ts';
import { changedPoints, meant, said, sorted } from '../../test/points.ts';

describe('whom a draft touches', () => {
  const site = (id: string, identify: Site['identify']) => ({ id, name: id, zone: 'UTC', identify });

  it('is whoever comes alone, where nobody else can come', () => {
    const at = (identify: Site['identify'], card: Card) => yard([card], { sites: [site('s', identify)] });
    const touched = (identify: Site['identify'], names: string) =>
      drafted(at(identify, ['11', names, 'second']), at(identify, ['11', names])).touched();
    expect(touched('driver', 'd1')).toEqual(['d1', '']);
    expect(touched('vehicle', 'v1')).toEqual(['', 'v1']);
    expect(touched('vehicle', 'd1')).toEqual(['', '']);
    expect(touched('driver', 'v1')).toEqual(['', '']);
  });

  it('is whoever may come to one of two places only, beside those who may come to both', () => {
    const person = (id: string, sites: string[] | null) => ({ id, name: id, allowances: ['a'], sites });
    const hose = (id: string, at: string) => ({
      id,
      site: at,
      product: 'p',
      terminals: ['t'],
      mostPerFill: LITRE * 50,
    });
    const carded = (days: readonly ['second'] | readonly []) =>
      yard(
        [
          ['11', 'd1', ...days],
          ['12', 'd2', ...days],
          ['13', 'd3', ...days],
        ],
        {
          sites: [site('s', 'driver'), site('u', 'driver')],
          hoses: [hose('h', 's'), hose('k', 'u')],
          drivers: [person('d1', null), person('d2', ['u']), person('d3', ['s'])],
        },
      );
    expect(drafted(carded(['second']), carded([])).touched()).toEqual(['d1 d2 d3', '']);
  });
});

describe('a card of two of whom one may draw nowhere', () => {
  it('touches nobody, whatever others gain', () => {
    const touched = (nowhere: string) => {
      const person = (id: string) => ({ id, name: id, allowances: ['a'], sites: id === nowhere ? [] : null });
      const people = { drivers: ['d1', 'd2'].map(person), vehicles: ['v1', 'v2'].map(person) };
      const at = (...days: ['second'] | []): Fleet => {
        const cards: Card[] = [
          ['11', 'd1', ...days],
          ['12', 'd2', ...days],
          ['21', 'v1'],
          ['22', 'v2'],
        ];
        return yard([...cards, ['50', 'd1 v1', ...days]], people);
      };
      return drafted(at('second'), at()).touched();
    };
    expect(touched('d1')).toEqual(['d2', 'v1 v2']);
    expect(touched('v1')).toEqual(['d1 d2', 'v2']);
  });
});

describe('a tank', () => {
  const vehicle = (id: string, allowances: string[]) => ({ id, name: id, allowances, capacity: 20 * LITRE });

  it('of a vehicle that holds no allowance lets nobody draw, also beside one that holds one', () => {
    const at = (...days: ['second'] | []) => {
      const sites = [{ id: 's', name: 's', zone: 'UTC', identify: 'vehicle' as const }];
      const vehicles = [vehicle('v1', []), vehicle('v2', ['a']), vehicle('v3', [])];
      return yard(
        [
          ['21', 'v1', ...days],
          ['22', 'v2', ...days],
          ['23', 'v3', ...days],
        ],
        { sites, vehicles },
      );
    };
    expect(drafted(at('second'), at()).touched()).toEqual(['', 'v2']);
  });

  it('limits whoever is let draw into it by an edit', () => {
    const drivers = (allowances: string[]) => [{ id: 'd1', name: 'd1', allowances }];
    const at = (allowances: string[]) =>
      yard(
        [
          ['11', 'd1'],
          ['21', 'v1'],
        ],
        { drivers: drivers(allowances), vehicles: [vehicle('v1', [])] },
      );
    const draft = drafted(at([]), at([]));
    expect(draft.edit(at(['a']))).toMatchObject([{ kind: 'gained', drivers: 'd1', vehicles: 'v1', after: [20, 20] }]);
  });
});

describe('the quantities of a group that was read', () => {
  const tanks = { v1: 20, v2: 10, v3: 30 };
  const vehicles = Object.entries(tanks).map(([id, litres]) => ({
    ...{ id, name: id, allowances: ['a'] },
    capacity: litres * LITRE,
  }));
  /** Of some vehicles the card is good on both days, of all others on the second. */
  const good = (...ids: readonly string[]) =>
    yard(
      [
        ['11', 'd1'],
        ...vehicles.map(({ id }, n): Card => (ids.includes(id) ? [`2${n}`, id] : [`2${n}`, id, 'second'])),
      ],
      { vehicles },
    );
  const sizes = (list: ReturnType<ReturnType<typeof drafted>['read']>) => list.map((g) => [g.kind, g.before, g.after]);

  it('widen with those who join it, and narrow with those who leave', () => {
    const more = drafted(good(), good('v1'));
    expect(sizes(more.read())).toEqual([['gained', [0, 0], [20, 20]]]);
    expect(sizes(more.edit(good('v1', 'v2')))).toEqual([['gained', [0, 0], [10, 20]]]);
    expect(sizes(more.edit(good('v1', 'v2', 'v3')))).toEqual([['gained', [0, 0], [10, 30]]]);
    expect(sizes(more.edit(good('v1', 'v3')))).toEqual([['gained', [0, 0], [20, 30]]]);
    const less = drafted(good('v1', 'v2', 'v3'), good('v2', 'v3'));
    expect(sizes(less.read())).toEqual([['lost', [20, 20], [0, 0]]]);
    expect(sizes(less.edit(good('v3')))).toEqual([['lost', [10, 20], [0, 0]]]);
    expect(sizes(less.edit(good()))).toEqual([['lost', [10, 30], [0, 0]]]);
    expect(sizes(less.edit(good('v3')))).toEqual([['lost', [10, 20], [0, 0]]]);
  });
});

describe('a difference that is kept', () => {
  const hose = (id: string, site: string, litres = 50) => ({
    ...{ id, site, product: 'p', terminals: ['t'] },
    mostPerFill: litres * LITRE,
  });
  const site = (id: string) => ({ id, name: id, zone: 'UTC', identify: 'driver' as const });
  const sites = [site('s'), site('u')];
  const person = (id: string, at: string[] | null = null) => ({ id, name: id, allowances: ['a'], sites: at });
  const two = { sites, hoses: [hose('h', 's'), hose('k', 'u')] };
  const later: Card[] = [
    ['11', 'd1', 'second'],
    ['12', 'd2', 'second'],
  ];
  const now: Card[] = [
    ['11', 'd1'],
    ['12', 'd2'],
  ];
  const where = ({ live }: ReturnType<typeof drafted>) =>
    live.difference().groups.map((g) => [g.kind, [...g.who.driversAlone].sort(), [...g.hoses].sort().join(' ')]);

  it('says how many of its places are done while it begins', () => {
    const fleet = yard(now, { sites, hoses: [hose('h', 's', 50), hose('k', 'u', 30)] });
    const table = reachTable(compile(fleet, zones), HORIZON);
    expect([...LiveDifference.begin(table, table)]).toEqual([
      { done: 1, of: 2 },
      { done: 2, of: 2 },
    ]);
  });

  it('forgets a place where nothing is of a group any more, and finds it there again', () => {
    const at = (...sites: (string[] | null)[]) =>
      yard(now, { ...two, drivers: [person('d1', sites[0]), person('d2', sites[1])] });
    const draft = drafted(yard(later, { ...two, drivers: [person('d1'), person('d2', [])] }), at(null, []));
    expect(where(draft)).toEqual([['gained', ['d1'], 'h k']]);
    draft.take(at(['s'], []));
    expect(where(draft)).toEqual([
      ['gained', ['d1'], 'h'],
      ['lost', ['d1'], 'k'],
    ]);
    draft.take(at(['s'], ['s']));
    expect(where(draft)).toEqual([
      ['gained', ['d1', 'd2'], 'h'],
      ['lost', ['d1'], 'k'],
    ]);
    draft.take(at(null, ['u']));
    expect(where(draft)).toEqual([['gained', ['d1', 'd2'], 'h k']]);
  });

  it('knows of no group at a place that others leave', () => {
    const at = (first: Card, sites: string[] | null, allowance: string) =>
      yard([first, ['12', 'd2']], {
        ...two,
        allowances: [
          { id: 'a', name: 'a', products: ['p'], perFill: 40 * LITRE },
          { id: 'b', name: 'b', products: ['p'], perFill: 30 * LITRE },
        ],
        drivers: [person('d1', sites), { ...person('d2'), allowances: [allowance] }],
      });
    const draft = drafted(at(['11', 'd1', 'second'], null, 'a'), at(['11', 'd1'], null, 'a'));
    expect(where(draft)).toEqual([['gained', ['d1'], 'h k']]);
    draft.take(at(['11', 'd1'], ['s'], 'b'));
    const [lowered, ...others] = where(draft);
    expect(lowered).toEqual(['lowered', ['d2'], 'h k']);
    draft.take(at(['11', 'd1'], ['s'], 'a'));
    expect(where(draft)).toEqual(others);
    expect(others).toEqual([
      ['gained', ['d1'], 'h'],
      ['lost', ['d1'], 'k'],
    ]);
  });

  it('tells places and hours apart that nothing told apart until somebody was given an allowance', () => {
    const hours = (from: number, to: number) => [{ days: [0, 1, 2, 3, 4, 5, 6], from, to }];
    const at = (...[first, second, card, third]: [string[], string[], Card[], Card[]]) =>
      yard([...card, ['12', 'd2'], ['21', 'v1'], ...third], {
        ...two,
        sites: sites.map((row) => ({ ...row, identify: 'either' as const })),
        allowances: [
          { id: 'a', name: 'a', products: ['p'], perFill: 40 * LITRE, times: hours(480, 1200) },
          { id: 'b', name: 'b', products: ['p'], perFill: 30 * LITRE, times: hours(240, 720) },
          { id: 'c', name: 'c', products: ['p'], perFill: 20 * LITRE, sites: ['u'] },
        ],
        drivers: [
          { ...person('d1'), allowances: first },
          { ...person('d2'), allowances: second },
        ],
        vehicles: ['v1', 'v2'].map((id) => ({ ...person(id), allowances: [], capacity: 25 * LITRE })),
      });
    const running = at(['a'], [], [['11', 'd1', 'second']], []);
    const steps = [
      at(['a'], [], [['11', 'd1']], []),
      at(['a'], ['b'], [['11', 'd1']], []),
      at(['a'], ['b'], [['11', 'd1']], [['22', 'v2']]),
      at(['a'], ['b'], [], [['22', 'v2']]),
      at(['a', 'c'], ['b'], [['11', 'd1']], [['22', 'v2']]),
      at(['c'], ['a', 'c'], [['11', 'd1']], []),
    ];
    const draft = drafted(running, running);
    for (const [n, next] of steps.entries()) {
      draft.take(next);
      const { all } = said(draft.live.difference(), draft.book);
      expect(sorted(all), `step ${n}`).toEqual(sorted(meant(changedPoints(running, next, HORIZON).points)));
    }
  });

  it('keeps a group that nothing was added to, and names in it who are of other classes now, at whatever places', () => {
    const at = (cards: readonly Card[], second: string[], vehicle: string[]) =>
      yard([...cards, ['21', 'v1']], {
        ...two,
        sites: sites.map((row) => ({ ...row, identify: 'both' as const })),
        allowances: [
          { id: 'a', name: 'a', products: ['p'], perFill: 40 * LITRE },
          { id: 'c', name: 'c', products: ['p'], perFill: 20 * LITRE, sites: ['u'] },
        ],
        drivers: [person('d1'), { ...person('d2', ['u']), allowances: second }],
        vehicles: [{ id: 'v1', name: 'v1', allowances: vehicle }],
      });
    const draft = drafted(at(later, ['a'], ['a']), at(now, ['a'], ['a']));
    const [group] = draft.live.difference().groups;
    const named = () => {
      const { who, hoses } = draft.live.difference().groups[0] ?? {};
      return [who?.together.drivers, who?.together.vehicles, hoses].map((ids) => [...(ids ?? [])].sort().join(' '));
    };
    const all = ['d1 d2', 'v1', 'h k'];
    expect(named()).toEqual(all);
    for (const next of [at(now, ['a', 'c'], ['a']), at(now, ['a'], ['a']), at(now, ['c', 'a'], ['a', 'c'])]) {
      draft.take(next);
      expect(draft.live.difference().groups).toEqual([group]);
      expect(draft.live.difference().groups[0]).toBe(group);
      expect(named()).toEqual(all);
    }
  });

  it('has groups that, once handed out, speak of the draft as it is', () => {
    const at = (cards: readonly Card[]) => yard(cards, { sites: [site('s')] });
    const draft = drafted(
      at(later),
      at([
        ['11', 'd1'],
        ['12', 'd2', 'second'],
      ]),
    );
    const [group] = draft.live.difference().groups;
    const named = () => [...(group?.drivers ?? [])].sort();
    expect(named()).toEqual(['d1']);
    draft.take(at(now));
    expect(named()).toEqual(['d1', 'd2']);
    draft.take(
      at([
        ['11', 'd1', 'second'],
        ['12', 'd2'],
      ]),
    );
    expect(where(draft)).toEqual([['gained', ['d2'], 'h']]);
    draft.take(at(later));
    expect(where(draft)).toEqual([]);
    expect(named()).toEqual([]);
    draft.take(at(now));
    expect(where(draft)).toEqual([['gained', ['d1', 'd2'], 'h']]);
    expect(named()).toEqual(['d1', 'd2']);
    draft.take(at(later));
    expect(named()).toEqual([]);
  });

  it('has groups that, once handed out, name nobody with whom nobody has the change any more', () => {
    const at = (...first: Card) => yard([first, ['21', 'v1'], ['22', 'v2']]);
    const draft = drafted(at('11', 'd1', 'second'), at('11', 'd1'));
    const [group] = draft.live.difference().groups;
    const named = () => [[...(group?.drivers ?? [])], [...(group?.vehicles ?? [])].sort()];
    for (let n = 0; n < 2; n++) {
      expect(named()).toEqual([['d1'], ['v1', 'v2']]);
      draft.take(at('11', 'd1', 'second'));
      expect(draft.live.difference().groups).toEqual([]);
      expect(named()).toEqual([[], []]);
      draft.take(at('11', 'd1'));
      expect(draft.live.difference().groups).toHaveLength(1);
    }
  });

  it('names as a witness somebody who still has the change, also where only the witness is read', () => {
    const carded = (id: string) => yard([['11', id]], { sites: [site('s')] });
    const draft = drafted(yard([], { sites: [site('s')] }), carded('d1'));
    const witness = () => draft.live.difference().groups[0]?.witness.driver;
    expect(witness()).toBe('d1');
    // As many come as go, so that no point is counted anew.
    draft.take(carded('d2'));
    expect(witness()).toBe('d2');
  });

  it('leaves out whom a card for two spares, however often others left and came back', () => {
    const at = (...own: readonly string[]) =>
      yard([['50', 'd1 v1'], ['51', 'd2 v2'], ...own.map((id): Card => [id.replace('d', '1').replace('v', '2'), id])]);
    const told = (list: ReturnType<ReturnType<typeof drafted>['read']>) =>
      list.filter((g) => g.kind === 'gained').map((g) => `${g.drivers} with ${g.vehicles}`);
    for (const running of [at('d1', 'd2'), at()]) {
      const draft = drafted(running, running);
      for (let n = 0; n < 3; n++) {
        expect(told(draft.edit(at('d1', 'd2', 'v1')))).toEqual(['d2 with v1']);
        expect(told(draft.edit(at('d1', 'v1')))).toEqual([]);
      }
      // And where the site is closed on the first day, which takes that from everybody.
      const sites = [{ id: 's', name: 's', zone: 'UTC', identify: 'both' as const, closed: ['2026-03-06'] }];
      const other = (...own: readonly string[]) => ({ ...at(...own), sites: yard([], { sites }).sites });
      for (let n = 0; n < 2; n++) {
        expect(told(draft.edit(other('d1', 'd2', 'v1')))).toEqual(['d2 with v1']);
        expect(told(draft.edit(other('d1', 'v1')))).toEqual([]);
      }
    }
  });

  it('counts those who come alone at every place that knows them so', () => {
    const at = (cards: readonly Card[]) =>
      yard(cards, { ...two, sites: [site('s'), { ...site('u'), identify: 'either' }] });
    expect(where(drafted(at(later), at(now)))).toEqual([['gained', ['d1', 'd2'], 'h k']]);
  });

  it('looks at no hose that neither has, also where the draft had it for a while', () => {
    const draft = drafted(yard(now), yard(now));
    const { looked } = draft.live.difference();
    draft.take(yard(now, { hoses: [hose('h', 's', 100), hose('j', 's', 100)] }));
    expect(draft.live.difference().looked).toBe(2n * looked);
    draft.take(yard(now));
    expect(draft.live.difference().looked).toBe(looked);
  });
});
