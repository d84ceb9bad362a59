import { weekdayOf } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { seeded } from '../../../test/small-world.ts';
import type { Days } from '../days.ts';
import { holds, MinuteBook, NONE, WHOLE } from './minutes.ts';
import { Blocks, isNone, type Region, RegionBook } from './region.ts';

const FIRST = 20_000;

/** A calendar of some days in which some dates begin and end, and regions of all kinds in it. */
function calendar(seed: number) {
  const random = seeded(seed);
  const below = (n: number) => Math.floor(random() * n);
  const last = FIRST + below(20);
  const pairs = (): Days => {
    const from = FIRST - 3 + below(24);
    const until = from + below(5);
    return random() < 0.5 ? [from, until] : [from, until, until + 2, until + 2 + below(3)];
  };
  const dates = [...Array.from({ length: below(4) }, pairs), [] as Days];
  const minutes = new MinuteBook();
  const blocks = new Blocks(minutes, FIRST, last, dates);
  const some = () => {
    const from = below(14) * 720;
    return [NONE, WHOLE, minutes.keep([from, from + 720])][below(3)] as number;
  };
  const regions = [blocks.none, ...Array.from({ length: 4 }, () => blocks.none.map(some))];
  return { blocks, dates, last, minutes, regions, some };
}

/** The block of each day, in the order of the days. */
const days = ({ spans }: Blocks) =>
  spans.flatMap(([from, until], block) =>
    Array.from({ length: until - from + 1 }, (_, n) => ({ day: from + n, block })),
  );

describe('blocks of days', () => {
  it('hold each day once, and every date begins and ends at an edge of one', () => {
    for (let seed = 1; seed <= 15; seed++) {
      const { blocks, dates, last } = calendar(seed);
      expect(days(blocks).map(({ day }) => day)).toEqual(Array.from({ length: last - FIRST + 1 }, (_, n) => FIRST + n));
      const holding = (of: Days, day: number) =>
        of.some((d, i) => i % 2 === 0 && d <= day && day <= (of[i + 1] as number));
      const edges = days(blocks).filter(
        ({ day }) => day > FIRST && dates.some((d) => holding(d, day) !== holding(d, day - 1)),
      );
      for (const { day } of edges) expect(blocks.spans.some(([from]) => from === day)).toBe(true);
      expect(new Set(days(blocks).map(({ block }) => block)).size).toBe(blocks.spans.length);
      for (const of of dates) {
        const on = blocks.on(of);
        expect(days(blocks).map(({ block }) => on[block])).toEqual(
          days(blocks).map(({ day }) => (holding(of, day) ? WHOLE : NONE)),
        );
        expect(blocks.on([...of])).toEqual(on);
      }
    }
  });

  it('know the weekdays that they have, and say their minutes as days in order', () => {
    for (let seed = 1; seed <= 15; seed++) {
      const { blocks, minutes, regions } = calendar(seed);
      for (const [block, [from, until]] of blocks.spans.entries()) {
        const had = new Set(Array.from({ length: until - from + 1 }, (_, n) => weekdayOf(from + n)));
        const set = minutes.of(blocks.weekdays[block] as number);
        expect([0, 1, 2, 3, 4, 5, 6].map((w) => holds(set, w * 1440) && holds(set, w * 1440 + 1439))).toEqual(
          [0, 1, 2, 3, 4, 5, 6].map((w) => had.has(w)),
        );
        if (had.size === 7) expect(blocks.weekdays[block]).toBe(WHOLE);
        for (const region of regions) {
          const of = minutes.of(region[block] as number);
          const want = Array.from({ length: until - from + 1 }, (_, n) => from + n).flatMap((day) => {
            const half = [0, 720].filter((m) => holds(of, weekdayOf(day) * 1440 + m));
            if (half.length === 2) return { day, from: 0, to: 1440 };
            return half.map((m) => ({ day, from: m, to: m + 720 }));
          });
          expect([...blocks.days(block, of)]).toEqual(want);
        }
      }
    }
  });

  it('are joined, cut and covered block by block', () => {
    for (let seed = 1; seed <= 15; seed++) {
      const { blocks, minutes, regions, some } = calendar(seed);
      const each = (by: (block: number) => number): Region => Int32Array.from(blocks.spans, (_, block) => by(block));
      for (const a of regions) {
        expect(isNone(a)).toBe(a.every((n) => n === NONE));
        for (const b of regions) {
          const both = each((n) => minutes.and(a[n] as number, b[n] as number));
          expect(blocks.and(a, b)).toEqual(both);
          expect(blocks.or(a, b)).toEqual(each((n) => minutes.or(a[n] as number, b[n] as number)));
          expect(blocks.covers(a, b)).toBe(both.every((n, block) => n === b[block]));
          const more = some();
          const to = a.slice();
          blocks.add(to, more, b);
          expect(to).toEqual(each((n) => minutes.or(a[n] as number, minutes.and(more, b[n] as number))));
        }
      }
      expect(isNone(blocks.none)).toBe(true);
    }
  });
});

describe('regions by number', () => {
  it('have one each, and know what two are together', () => {
    for (let seed = 1; seed <= 15; seed++) {
      const { blocks, regions } = calendar(seed);
      const book = new RegionBook(blocks);
      const numbers = regions.map((r) => book.keep(r));
      for (const [i, a] of numbers.entries()) {
        expect(book.of(a)).toEqual(regions[i]);
        for (const [j, b] of numbers.entries()) {
          const same = (regions[i] as Region).every((n, block) => n === regions[j]?.[block]);
          expect(a === b).toBe(same);
          const together = blocks.or(regions[i] as Region, regions[j] as Region);
          for (const n of [book.or(a, b), book.or(b, a), book.or(a, b)]) {
            expect(book.of(n)).toEqual(together);
            expect(book.keep(together.slice())).toBe(n);
          }
        }
      }
    }
  });
});
