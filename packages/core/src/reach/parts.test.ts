import { describe, expect, it } from 'vitest';
import { seeded } from '../../test/small-world.ts';
import type { Terms } from '../decide/index.ts';
import { stretchesOf, WEEK_MINUTES, type Window, within } from '../fleet/index.ts';
import { clipped, type Parts, WeekParts } from './parts.ts';

const STEP = 120;
const MINUTES = Array.from({ length: WEEK_MINUTES / STEP }, (_, n) => n * STEP);
const partAt = ({ stretches }: Parts, minute: number) =>
  [...stretches.keys()].filter((n) => stretches[n]?.some((s) => s.from <= minute && minute < s.to));

function expectMinutes(parts: Parts): void {
  for (let n = 0; n < parts.count; n++) {
    expect(partAt(parts, parts.minute[n] as number)).toEqual([n]);
    for (let w = 0; w < 7; w++) {
      const inside = MINUTES.filter((m) => Math.floor(m / 1440) === w && partAt(parts, m)[0] === n);
      expect(parts.minutes[n * 7 + w]).toBe(inside.length * STEP);
    }
  }
}

describe('the parts of a week', () => {
  it('are those that some window tells apart, with their minutes of each day, whole and within a stretch', () => {
    for (let seed = 1; seed <= 12; seed++) {
      const random = seeded(seed);
      const window = (): Window => ({
        days: [0, 1, 2, 3, 4, 5, 6].filter(() => random() < 0.5),
        from: Math.floor(random() * 12) * STEP,
        to: Math.floor(random() * 13) * STEP,
      });
      const termsOf = (times: Window[] | null) => ({ row: { times } }) as unknown as Terms;
      const terms = Array.from({ length: 3 }, () => termsOf(random() < 0.1 ? null : [window(), window()]));
      const weeks = new WeekParts();
      const numbers = terms.map((t) => weeks.windowOf(t));
      expect(terms.map((t) => weeks.windowOf(t))).toEqual(numbers);
      expect(weeks.windowOf(termsOf([...(terms[0]?.row.times ?? [])]))).toBe(
        terms[0]?.row.times === null ? weeks.windowOf(termsOf([])) : numbers[0],
      );
      for (const some of [[], [0], [1, 2], [0, 1, 2]]) {
        const parts = weeks.of(new Set(some.map((n) => numbers[n] as number)));
        expect(weeks.of(new Set(some.map((n) => numbers[n] as number).reverse()))).toBe(parts);
        const openAt = (m: number) => some.map((n) => within(stretchesOf(terms[n]?.row.times ?? null), m)).join();
        const words = new Map<string, number>();
        for (const m of MINUTES) {
          const [part, ...more] = partAt(parts, m);
          expect(more).toEqual([]);
          expect(part).toBe(words.get(openAt(m)) ?? part);
          words.set(openAt(m), part as number);
        }
        expect(parts.count).toBe(words.size);
        expect(new Set(words.values()).size).toBe(words.size);
        expectMinutes(parts);
        const from = Math.floor(random() * MINUTES.length) * STEP;
        const to = Math.min(WEEK_MINUTES, from + STEP * (1 + Math.floor(random() * 30)));
        const piece = clipped(parts, { from, to });
        const inside = MINUTES.filter((m) => from <= m && m < to);
        expect(piece.count).toBe(new Set(inside.map((m) => partAt(parts, m)[0])).size);
        for (const m of MINUTES) expect(partAt(piece, m).length).toBe(inside.includes(m) ? 1 : 0);
        expectMinutes(piece);
      }
    }
  });
});
