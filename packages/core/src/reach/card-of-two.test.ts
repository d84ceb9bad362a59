import { compile, type Policy, revise } from '@fillwright/core/decide';
import { emptyFleet, type Fleet, newRow, type RowOf, type TableName } from '@fillwright/core/fleet';
import { Book, LiveDifference, reachTable, revisedTable, type Table } from '@fillwright/core/reach';
import type { ZoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { last } from '../../test/edited.ts';
import { changedPoints, meant, pairsMet, said, sorted } from '../../test/points.ts';
import { seeded } from '../../test/small-world.ts';

const FLEETS = Number(process.env.FILLWRIGHT_CARD_FLEETS ?? 40);
const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const zones = () => UTC;
const FIRST = Date.UTC(2026, 2, 6) / 86_400_000;
const HORIZON = [FIRST, FIRST + 1] as const;
const LITRE = 1_000_000;

/** A card's number, whom it names, and the days on which it is good: both, the first or the second. */
type Card = readonly [number: string, names: string, days?: 'first' | 'second'];
type Rows = { readonly [T in TableName]?: readonly (Partial<RowOf<T>> & { readonly id: string })[] };

/** One hose at a site that must know a driver and a vehicle; drivers and vehicles are alike but for their cards. */
function yard(cards: readonly Card[], more: Rows = {}): Fleet {
  const fleet = emptyFleet({ name: 'Yard', units: 'metric', currency: 'EUR' });
  const holder = (id: string) => ({ id, name: id, allowances: ['a'] });
  const rows: Rows = {
    products: [{ id: 'p', name: 'p' }],
    sites: [{ id: 's', name: 's', zone: 'UTC', identify: 'both' }],
    hoses: [{ id: 'h', site: 's', product: 'p', terminals: ['t'], mostPerFill: 100 * LITRE }],
    allowances: [{ id: 'a', name: 'a', products: ['p'], perFill: 40 * LITRE }],
    drivers: ['d1', 'd2', 'd3'].map(holder),
    vehicles: ['v1', 'v2', 'v3'].map(holder),
    credentials: cards.map(([number, names, days]) => ({
      id: `c${number}`,
      number,
      driver: names.match(/d\d/)?.[0] ?? null,
      vehicle: names.match(/v\d/)?.[0] ?? null,
      validFrom: days === 'second' ? '2026-03-07' : null,
      validUntil: days === 'first' ? '2026-03-06' : null,
    })),
    ...more,
  };
  for (const [table, list] of Object.entries(rows) as [TableName, readonly { id: string }[]][])
    for (const row of list) (fleet[table] as unknown as Map<string, unknown>).set(row.id, newRow(table, row));
  return fleet;
}

/** A draft that is edited, with what is read of it after each edit. */
function drafted(running: Fleet, draft: Fleet) {
  const before = reachTable(compile(running, zones), HORIZON, new Book());
  let after: Table = reachTable(compile(draft, zones), HORIZON, before.book);
  const live = last(LiveDifference.begin(before, after));
  const read = () =>
    live.difference().groups.map((g) => ({
      kind: g.kind,
      drivers: [...g.who.together.drivers].sort().join(' '),
      vehicles: [...g.who.together.vehicles].sort().join(' '),
      before: g.before.map((n) => n / LITRE),
      after: g.after.map((n) => n / LITRE),
    }));
  return {
    read,
    /** Takes the draft in without reading it. */
    take(next: Fleet) {
      // As an edit leaves it: tables and rows that are as they were are the same objects.
      const kept = { ...next } as Record<TableName, ReadonlyMap<string, unknown>>;
      for (const table of Object.keys(after.policy.fleet) as TableName[]) {
        const had = after.policy.fleet[table] as ReadonlyMap<string, unknown>;
        if (!(had instanceof Map)) continue;
        const same = (id: string, row: unknown) => JSON.stringify(had.get(id)) === JSON.stringify(row);
        const rows = [...kept[table]];
        kept[table] =
          rows.length === had.size && rows.every(([id, row]) => same(id, row))
            ? had
            : new Map(rows.map(([id, row]) => [id, same(id, row) ? had.get(id) : row]));
      }
      after = revisedTable(after, revise(after.policy, kept as unknown as Fleet, zones) as Policy);
      expect(live.edit(after)).toBe(true);
    },
    edit(next: Fleet) {
      this.take(next);
      return read();
    },
    live,
    book: before.book,
  };
}

const gained = (drivers: string, vehicles: string) => [
  { kind: 'gained', drivers, vehicles, before: [0, 0], after: [40, 40] },
];

/** Whoever has no card of their own that is good on the first day gains there what one more card lets them do. */
describe('a card that names a driver and a vehicle', () => {
  const vehicles: Card[] = [
    ['21', 'v1'],
    ['22', 'v2'],
  ];
  const drivers: Card[] = [
    ['11', 'd1'],
    ['12', 'd2'],
  ];
  const later = (cards: readonly Card[]) => cards.map(([number, names]): Card => [number, names, 'second']);
  const both: Card = ['50', 'd1 v1'];

  it('leaves a vehicle unnamed that, once another driver is gone, is left with the one of its card', () => {
    const draft = drafted(yard([...later(drivers), ...vehicles, both]), yard([...drivers, ...vehicles, both]));
    expect(draft.read()).toEqual(gained('d1 d2', 'v1 v2'));
    expect(draft.edit(yard([['11', 'd1'], ['12', 'd2', 'second'], ...vehicles, both]))).toEqual(gained('d1', 'v2'));
  });

  it('leaves a driver unnamed who, once another vehicle is gone, is left with the one of the card', () => {
    const draft = drafted(yard([...drivers, ...later(vehicles), both]), yard([...drivers, ...vehicles, both]));
    expect(draft.read()).toEqual(gained('d1 d2', 'v1 v2'));
    expect(draft.edit(yard([...drivers, ['21', 'v1'], ['22', 'v2', 'second'], both]))).toEqual(gained('d2', 'v1'));
  });

  it('keeps a vehicle from being named until another driver gains it', () => {
    const running = yard([...later(drivers), ...vehicles, both]);
    const draft = drafted(running, yard([['11', 'd1'], ['12', 'd2', 'second'], ...vehicles, both]));
    expect(draft.read()).toEqual(gained('d1', 'v2'));
    expect(draft.edit(yard([...drivers, ...vehicles, both]))).toEqual(gained('d1 d2', 'v1 v2'));
  });

  it('keeps a driver from being named until another vehicle gains them', () => {
    const running = yard([...drivers, ...later(vehicles), both]);
    const draft = drafted(running, yard([...drivers, ['21', 'v1'], ['22', 'v2', 'second'], both]));
    expect(draft.read()).toEqual(gained('d2', 'v1'));
    expect(draft.edit(yard([...drivers, ...vehicles, both]))).toEqual(gained('d1 d2', 'v1 v2'));
  });

  it('speaks of those whom it names now, also where they are no different from those of before', () => {
    const cards = (names: string) => yard([...later(drivers), ...vehicles, ['50', names, 'first'], ['51', 'd2 v2']]);
    const draft = drafted(yard([...drivers, ...vehicles]), cards('d1 v1'));
    const lost = (vehicles: string) => [{ kind: 'lost', drivers: 'd1 d2', vehicles, before: [40, 40], after: [0, 0] }];
    expect(draft.read()).toEqual(lost('v1 v2'));
    expect(draft.edit(cards('d1 v2'))).toEqual(lost('v1'));
    expect(draft.edit(cards('d1 v1'))).toEqual(lost('v1 v2'));
  });
});

/** Two places, at the second of which one more vehicle comes: none of the vehicles has a card of its own until the draft. */
describe('a card that names a driver and a vehicle of whom others meet more', () => {
  const holder = (id: string) => ({ id, name: id, allowances: ['a'] });
  const places: Rows = {
    sites: ['s', 't'].map((id) => ({ id, name: id, zone: 'UTC', identify: 'both' as const })),
    hoses: ['s', 't'].map((site) => ({ id: `h${site}`, site, product: 'p', mostPerFill: 100 * LITRE })),
    drivers: ['d1', 'd2'].map(holder),
    vehicles: [holder('v1'), { ...holder('v2'), sites: ['t'] }],
  };
  const read = (cards: readonly Card[]) => {
    const draft: Card[] = [...cards, ['21', 'v1'], ['22', 'v2']];
    return drafted(yard(cards, places), yard(draft, places)).read();
  };

  it('leaves its driver unnamed at the one place, not at the other', () => {
    const drivers: Card[] = [
      ['11', 'd1'],
      ['12', 'd2'],
      ['50', 'd1 v1'],
    ];
    expect(read(drivers)).toEqual(gained('d1 d2', 'v1 v2'));
  });

  it('leaves its driver unnamed at the one place where only another gains it there, not at the other', () => {
    const drivers: Card[] = [
      ['11', 'd1'],
      ['12', 'd2', 'second'],
      ['50', 'd1 v1'],
    ];
    expect(read(drivers)).toEqual(gained('d1 d2', 'v1 v2'));
  });
});

/** A few who differ in little, cards for some pairs of them, and one card or one of them changed after another. */
describe('few people and the cards of some pairs', () => {
  type Few = { cards: Card[]; sizes: Record<string, number | null>; held: Record<string, string[]>; identify: string };

  function fewOf({ cards, sizes, held, identify }: Few): Fleet {
    const holder = (id: string) => ({ id, name: id, allowances: held[id] ?? ['a'] });
    const hoses = [
      { id: 'h', mostPerFill: 50 },
      { id: 'k', mostPerFill: 30 },
    ].map((h) => ({ ...h, site: 's', product: 'p', terminals: ['t'], mostPerFill: h.mostPerFill * LITRE }));
    return yard(cards, {
      sites: [{ id: 's', name: 's', zone: 'UTC', identify: identify as 'both' }],
      hoses,
      allowances: [
        { id: 'a', name: 'a', products: ['p'], perFill: 40 * LITRE },
        { id: 'b', name: 'b', products: ['p'], perDay: 45 * LITRE },
      ],
      drivers: ['d1', 'd2', 'd3'].map(holder),
      vehicles: ['v1', 'v2', 'v3'].map((id) => ({ ...holder(id), capacity: sizes[id] ?? null })),
    });
  }

  it('differ after every edit as brute force says, whatever was read before', () => {
    let [groups, each, some] = [0, 0, 0];
    for (let seed = 1; seed <= FLEETS; seed++) {
      const random = seeded(seed);
      const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)] as T;
      const days = () => pick([undefined, undefined, 'first', 'second'] as const);
      const own = (number: string, names: string): Card => [number, names, ...dayOf(days())];
      const pair = (number: string): Card => own(number, `${pick(['d1', 'd2', 'd3'])} ${pick(['v1', 'v2', 'v3'])}`);
      const size = () => pick([null, null, 20, 35, 60].map((n) => n && n * LITRE));
      const allowed = () => pick([['a'], ['a'], ['b'], []]);
      const numbers = ['50', '51', '52', '53'];
      const people = ['d1', 'd2', 'd3', 'v1', 'v2', 'v3'];
      const changed = (few: Few): Few => {
        const [card, n] = [random(), Math.floor(random() * 6)];
        const [number, id] = [pick(numbers), people[n] as string];
        const without = (gone: string) => few.cards.filter(([one]) => one !== gone);
        if (card < 0.4) return { ...few, cards: [...without(`1${n}`), own(`1${n}`, id)] };
        if (card < 0.5) return { ...few, cards: without(pick([...numbers, `1${n}`])) };
        if (card < 0.8) return { ...few, cards: [...without(number), pair(number)] };
        if (card < 0.9) return { ...few, held: { ...few.held, [id]: allowed() } };
        return { ...few, sizes: { ...few.sizes, [id]: size() } };
      };
      let few: Few = {
        cards: [...people.map((id, n) => own(`1${n}`, id)), ...numbers.filter(() => random() < 0.4).map(pair)],
        sizes: {},
        held: {},
        identify: pick(['both', 'either', 'driver']),
      };
      for (let n = 0; n < 3; n++) few = changed(few);
      const running = fewOf(few);
      for (let n = 0; n < 3; n++) few = changed(few);
      const draft = drafted(running, fewOf(few));
      for (let n = 0; n < 8; n++) {
        few = changed(few);
        const next = fewOf(few);
        draft.take(next);
        const found = draft.live.difference();
        // Of some drafts nothing is read, of some a few groups.
        if (random() < 0.4) {
          for (const g of found.groups.filter(() => random() < 0.4))
            expect(g.drivers.size + g.vehicles.size).not.toBe(0);
          continue;
        }
        const at = `seed ${seed} edit ${n}`;
        const { points, was, is } = changedPoints(running, next, HORIZON);
        const got = said(found, draft.book);
        expect(sorted(got.all), at).toEqual(sorted(meant(points)));
        const met = pairsMet(points);
        for (const [m, g] of found.groups.entries()) {
          groups++;
          const { witness: w } = g;
          const [who, when] = [`${w.driver ?? ''} ${w.vehicle ?? ''}`, (w.day * 1440 + w.minute) * 60_000];
          expect([was(who, w.hose, when).limit, is(who, w.hose, when).limit], at).toEqual([w.before, w.after]);
          const key = got.keys[m] as string;
          const { drivers, vehicles, each: all } = g.who.together;
          const most = drivers.size * vehicles.size;
          if (most === 0 || got.keys.filter((k) => k === key).length > 1) continue;
          if (all) expect(met.ever.get(key), `${at} ${key}`).toBe(most);
          else expect(met.each.get(key) ?? 0, `${at} ${key}`).toBeLessThan(most);
          if (most > 1) all ? each++ : some++;
        }
      }
    }
    expect([groups > FLEETS * 4, each > FLEETS / 4, some > FLEETS / 4]).toEqual([true, true, true]);
  });
});

const dayOf = (days: Card[2]): [] | [NonNullable<Card[2]>] => (days === undefined ? [] : [days]);
