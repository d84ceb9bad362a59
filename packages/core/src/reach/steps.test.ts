import { describe, expect, it } from 'vitest';
import { seeded } from '../../test/small-world.ts';
import { WEEK_MINUTES } from '../fleet/index.ts';
import { Book, type Steps, stretchAt, walk } from './steps.ts';

const STEP = 720;
const MINUTES = Array.from({ length: WEEK_MINUTES / STEP }, (_, n) => n * STEP);

/** The stretch of each minute, and of the one before it, found by going through all. */
const strictly = (s: Steps) =>
  MINUTES.flatMap((m) => [s.from.findLastIndex((f) => f < Math.max(m, 1)), s.from.findLastIndex((f) => f <= m)]);

/** A step function minute by minute. */
function plainly(s: Steps): string[] {
  expect(MINUTES.flatMap((m) => [stretchAt(s, Math.max(m - 1, 0)), stretchAt(s, m)])).toEqual(strictly(s));
  return MINUTES.map((_, n) => strictly(s)[2 * n + 1] as number).map((n) => `${s.room[n]} ${s.why[n]}`);
}

describe('step functions of a book', () => {
  it('are least and most at every minute, the first where equal, each different one once and without needless steps', () => {
    for (let seed = 1; seed <= 5; seed++) {
      const random = seeded(seed);
      const below = (n: number) => Math.floor(random() * n);
      const book = new Book();
      const known = new Map<string, Steps>();
      const list: Steps[] = [];
      const note = (s: Steps) => {
        const key = plainly(s).join();
        expect(known.get(key) ?? s).toBe(s);
        expect([...known.values()].filter((k) => k.id === s.id)).toEqual(known.has(key) ? [s] : []);
        known.set(key, s);
        list.push(s);
        expect(s.top).toBe(Math.max(...plainly(s).map((t) => Number(t.split(' ')[0]))));
        const told = s.from.map((_, n) => `${s.room[n]} ${s.why[n]}`);
        expect(told.some((t, n) => t === told[n - 1])).toBe(false);
        expect(s.from).toEqual([...new Set(s.from)].sort((a, b) => a - b));
      };
      for (let n = 0; n < 8; n++) {
        if (random() < 0.3) {
          const [room, why] = [below(3), below(2)];
          const level = book.level(room, why);
          expect(plainly(level)).toEqual(MINUTES.map(() => `${room} ${why}`));
          note(level);
        }
        const from = MINUTES.filter((m) => m === 0 || random() < 0.4);
        const [rooms, whys] = [from.map(() => below(3)), from.map(() => below(2))];
        const kept = book.keep(from, rooms, whys);
        const given = MINUTES.map((m) => from.findLastIndex((f) => f <= m)).map((i) => `${rooms[i]} ${whys[i]}`);
        expect(plainly(kept)).toEqual(given);
        note(kept);
      }
      for (let n = 0; n < 25; n++) {
        const [a, b] = [list[below(list.length)], list[below(list.length)]] as [Steps, Steps];
        const [x, y] = [plainly(a), plainly(b)];
        const room = (t: string | undefined) => Number(t?.split(' ')[0]);
        for (const [s, first] of [
          [book.least(a, b), (i: number) => room(x[i]) <= room(y[i])],
          [book.most(a, b), (i: number) => room(x[i]) >= room(y[i])],
        ] as const) {
          expect(plainly(s)).toEqual(MINUTES.map((_, i) => (first(i) ? x[i] : y[i])));
          note(s);
        }
        let end = 0;
        walk(a, b, (start, i, j, until) => {
          expect(start).toBe(end);
          expect([stretchAt(a, start), stretchAt(b, until - 1)]).toEqual([i, j]);
          end = until;
        });
        expect(end).toBe(WEEK_MINUTES);
      }
    }
  });

  it('have reasons by number', () => {
    const book = new Book();
    const said = [book.reason('per-day', 'a'), book.reason('per-day', null), book.reason('per-week', 'a')];
    said.push(book.reason('per-week', 'b'));
    expect(new Set(said).size).toBe(4);
    expect(book.reason('per-day', null)).toBe(said[1]);
    expect(said.map((n) => book.reasons[n])).toEqual([
      { rule: 'per-day', allowance: 'a' },
      { rule: 'per-day', allowance: null },
      { rule: 'per-week', allowance: 'a' },
      { rule: 'per-week', allowance: 'b' },
    ]);
  });
});
