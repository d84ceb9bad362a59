import type { Fleet, Site } from '@fillwright/core/fleet';
import { describe, expect, it } from 'vitest';
import { type Card, drafted, HORIZON, LITRE, yard } from '../../test/few.ts';
import { changedPoints, meant, pairsMet, said, sorted } from '../../test/points.ts';
import { seeded } from '../../test/small-world.ts';

const FLEETS = Number(process.env.FILLWRIGHT_FEW_FLEETS ?? 40);

/** A few who differ in little, cards for some pairs of them, and one card or one of them changed after another. */
describe('few people and the cards of some pairs', () => {
  interface Few {
    readonly cards: readonly Card[];
    readonly people: ReadonlyMap<string, object>;
    /** Who must be known, at either site. */
    readonly identify: readonly [Site['identify'], Site['identify']];
    /** Litres that the hose of the second gives at most in a fill: 50 as that of the first, or less. */
    readonly second: number;
  }

  function fewOf({ cards, people, identify, second }: Few): Fleet {
    const of = (side: string) =>
      [...people].filter(([id]) => id.startsWith(side)).map(([id, row]) => ({ id, name: id, ...row }));
    const hose = (id: string, site: string, most: number) => ({
      ...{ id, site, product: 'p', terminals: ['t'] },
      mostPerFill: most * LITRE,
    });
    const hours = (from: number, to: number) => [{ days: [0, 1, 2, 3, 4, 5, 6], from, to }];
    return yard(cards, {
      sites: ['s', 'u'].map((id, n) => ({ id, name: id, zone: 'UTC', identify: identify[n] as Site['identify'] })),
      hoses: [hose('h', 's', 50), hose('k', 'u', second)],
      allowances: [
        { id: 'a', name: 'a', products: ['p'], perFill: 40 * LITRE },
        { id: 'b', name: 'b', products: ['p'], perDay: 45 * LITRE, times: hours(720, 1440) },
        { id: 'c', name: 'c', products: ['p'], perFill: 40 * LITRE, times: hours(0, 720), sites: ['u'] },
      ],
      drivers: of('d'),
      vehicles: of('v'),
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
      const person = (id: string) => ({
        allowances: pick([['a'], ['a'], ['b'], ['c'], ['b', 'c'], []]),
        sites: pick([null, null, null, ['s'], ['u']]),
        ...(id.startsWith('v') && { capacity: pick([null, null, 20, 35, 60].map((n) => n && n * LITRE)) }),
      });
      const numbers = ['50', '51', '52', '53'];
      const ids = ['d1', 'd2', 'd3', 'v1', 'v2', 'v3'];
      const changed = (few: Few): Few => {
        const [what, n] = [random(), Math.floor(random() * 6)];
        const [number, id] = [pick(numbers), ids[n] as string];
        const without = (gone: string) => few.cards.filter(([one]) => one !== gone);
        if (what < 0.4) return { ...few, cards: [...without(`1${n}`), own(`1${n}`, id)] };
        if (what < 0.5) return { ...few, cards: without(pick([...numbers, `1${n}`])) };
        if (what < 0.8) return { ...few, cards: [...without(number), pair(number)] };
        return { ...few, people: new Map([...few.people, [id, person(id)]]) };
      };
      const identify = () => pick(['both', 'either', 'driver', 'vehicle'] as const);
      const chance = pick([0.4, 1]);
      let few: Few = {
        cards: [
          ...ids.map((id, n) => own(`1${n}`, id)).filter(() => random() < 0.3 + chance),
          ...numbers.filter(() => random() < 0.4).map(pair),
        ],
        people: new Map(ids.map((id) => [id, { allowances: ['a'] }])),
        ...pick([
          { identify: [identify(), identify()], second: 30 },
          { identify: ['either', 'either'], second: 50 },
        ] as const),
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
        const { points, was, is } = changedPoints(running, next, HORIZON, 720);
        const got = said(found, draft.book);
        expect(sorted(got.all), at).toEqual(sorted(meant(points)));
        expect(sorted(said(draft.whole(), draft.book).all), at).toEqual(sorted(meant(points)));
        const named = (side: 'driver' | 'vehicle') => [...new Set(points.flatMap((p) => p[side] ?? []))].sort();
        expect(draft.touched(), at).toEqual([named('driver').join(' '), named('vehicle').join(' ')]);
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
