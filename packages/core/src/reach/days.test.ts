import { describe, expect, it } from 'vitest';
import { seeded } from '../../test/small-world.ts';
import { DayBook, type Days, holds, intersect, pairsOf, union, without } from './days.ts';

const LENGTH = 24;
const ALL = Array.from({ length: LENGTH }, (_, n) => n);
const listed = (days: Days) => ALL.filter((d) => [...pairsOf(days)].some(([from, until]) => from <= d && d <= until));

/** Ascending, apart by at least a day, none empty. */
function expectWellMade(days: Days): void {
  for (let i = 0; i < days.length; i++) {
    const [a, b] = [days[i] as number, days[i + 1] ?? Number.POSITIVE_INFINITY];
    expect(i % 2 === 0 ? a <= b : a + 1 < b, days.join()).toBe(true);
  }
}

describe('sets of days', () => {
  it('are united, met and taken away as sets are, each different one once', () => {
    for (let seed = 1; seed <= 20; seed++) {
      const random = seeded(seed);
      const below = (n: number) => Math.floor(random() * n);
      const span = () => {
        const from = below(LENGTH);
        return [from, Math.min(LENGTH - 1, from + below(6) - 1)] as const;
      };
      const made = () => Array.from({ length: below(5) }, span);
      const book = new DayBook();
      const byText = new Map<string, number>();
      for (let n = 0; n < 40; n++) {
        const [xs, ys] = [made(), made()];
        const [a, b] = [union(xs), union(ys)];
        const inside = (spans: typeof xs) => ALL.filter((d) => spans.some(([from, until]) => from <= d && d <= until));
        expect(listed(a)).toEqual(inside(xs));
        const [i, j] = [book.keep(a), book.keep(b)];
        for (const [days, number, want] of [
          [a, i, inside(xs)],
          [b, j, inside(ys)],
          [intersect(a, b), book.intersect(i, j), inside(xs).filter((d) => inside(ys).includes(d))],
          [without(a, b), book.without(i, j), inside(xs).filter((d) => !inside(ys).includes(d))],
          [union([...xs, ...ys]), book.union(i, j), inside([...xs, ...ys])],
          [without(a, a), book.without(i, i), []],
        ] as const) {
          expect(listed(days)).toEqual(want);
          expectWellMade(days);
          expect(ALL.filter((d) => holds(days, d))).toEqual(want);
          expect(book.of(number)).toEqual(days);
          const known = byText.get(want.join()) ?? number;
          expect(number).toBe(known);
          byText.set(want.join(), number);
        }
      }
      expect(new Set(byText.values()).size).toBe(byText.size);
      expect(book.sets.length).toBe(byText.size);
    }
  });
});
