import { WEEK_MINUTES, type Window } from '@fillwright/core/fleet';
import { describe, expect, it } from 'vitest';
import { seeded } from '../../../test/small-world.ts';
import { Book } from '../steps.ts';
import { holds, lacking, MinuteBook, type Minutes, NONE, WHOLE } from './minutes.ts';

/** Everything here begins and ends on these, so that one minute of each stretch stands for all of it. */
const STEP = 840;
const GRID = Array.from({ length: WEEK_MINUTES / STEP }, (_, n) => n * STEP);

/** A set written down from one answer for each stretch of the grid: as few edges as there can be. */
const written = (has: (at: number) => boolean): Minutes =>
  [...GRID, WEEK_MINUTES].filter((at) => (at < WEEK_MINUTES && has(at)) !== (at > 0 && has(at - STEP)));

describe('sets of minutes', () => {
  it('are together, in common and apart what they are minute by minute, and each has one number', () => {
    for (let seed = 1; seed <= 10; seed++) {
      const random = seeded(seed);
      const book = new MinuteBook();
      const numbers = Array.from({ length: 8 }, () => {
        const some = new Set(GRID.filter(() => random() < 0.5));
        const minutes = written((at) => some.has(at));
        for (const at of GRID) {
          expect(holds(minutes, at)).toBe(some.has(at));
          expect(holds(minutes, at + STEP - 1)).toBe(some.has(at));
        }
        return book.keep(minutes);
      });
      for (const a of [NONE, WHOLE, ...numbers]) {
        for (const b of [NONE, WHOLE, ...numbers]) {
          const [x, y] = [book.of(a), book.of(b)];
          const common = written((at) => holds(x, at) && holds(y, at));
          const together = written((at) => holds(x, at) || holds(y, at));
          // Asked again, and the other way round: the same number, so that equal sets are known by it.
          for (const n of [book.and(a, b), book.and(b, a), book.and(a, b)]) {
            expect(book.of(n)).toEqual(common);
            expect(n).toBe(book.keep(common));
          }
          for (const n of [book.or(a, b), book.or(b, a), book.or(a, b)]) {
            expect(book.of(n)).toEqual(together);
            expect(n).toBe(book.keep(together));
          }
          expect(lacking(x, y)).toEqual(written((at) => holds(x, at) && !holds(y, at)));
        }
      }
    }
  });

  it('begin with none and every one, and hold the times of a week', () => {
    const book = new MinuteBook();
    expect([book.of(NONE), book.of(WHOLE)]).toEqual([[], [0, WEEK_MINUTES]]);
    expect([book.windows([]), book.windows(null)]).toEqual([NONE, WHOLE]);
    const evening: Window = { days: [0, 6], from: 1320, to: 120 };
    expect(book.of(book.windows([evening]))).toEqual([0, 120, 1320, 1560, 9960, WEEK_MINUTES]);
    expect(book.windows([evening])).not.toBe(book.windows([{ ...evening, days: [0] }]));
  });

  it('are those at which a step function gives at least so much', () => {
    for (let seed = 1; seed <= 10; seed++) {
      const random = seeded(seed);
      const book = new Book();
      const minutes = new MinuteBook();
      const below = (n: number) => Math.floor(random() * n);
      const functions = Array.from({ length: 6 }, () => {
        const from = GRID.filter((at) => at === 0 || random() < 0.6);
        // The same room may stand beside itself for another reason.
        const room = from.map(() => below(4));
        const why = from.map(() => below(2));
        return book.keep(from, room, why);
      });
      for (const _ of ['first', 'again']) {
        for (const steps of functions) {
          for (const least of [0, 1, 2, 3, 4]) {
            const want = written((at) => (steps.room[steps.from.findLastIndex((f) => f <= at)] as number) >= least);
            const n = minutes.where(steps, least);
            expect(minutes.of(n)).toEqual(want);
            expect(n).toBe(minutes.keep(want));
          }
        }
      }
    }
  });
});
