import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fewestSets } from './cover.ts';

/** Every choice of sets, tried. */
function bruteForce(sets: number[][], count: number): number {
  const coverable = new Set(sets.flat());
  let best = Number.POSITIVE_INFINITY;
  for (let which = 0; which < 2 ** sets.length; which++) {
    const chosen = sets.filter((_, i) => (which >> i) & 1);
    const held = new Set(chosen.flat());
    if ([...coverable].every((e) => e >= count || held.has(e))) best = Math.min(best, chosen.length);
  }
  return best;
}

test('as few as by trying every choice, and every element that can be held is held', () => {
  fc.assert(
    fc.property(
      fc
        .integer({ min: 1, max: 9 })
        .chain((count) =>
          fc.tuple(
            fc.constant(count),
            fc.array(fc.uniqueArray(fc.integer({ min: 0, max: count - 1 }), { maxLength: 5 }), { maxLength: 10 }),
          ),
        ),
      ([count, sets]) => {
        const { chosen, exact } = fewestSets(sets, count);
        expect(exact).toBe(true);
        expect(chosen.length).toBe(bruteForce(sets, count));
        const held = new Set(chosen.flatMap((s) => sets[s] as number[]));
        expect(held).toEqual(new Set(sets.flat()));
      },
    ),
    { numRuns: 300 },
  );
});

test('greedy alone would take three where two do; given up, it says so and still covers', () => {
  const sets = [
    [0, 1, 2, 6, 7, 8, 9],
    [0, 1, 2, 3, 4, 5],
    [6, 7, 8, 9, 10, 11],
  ];
  expect(fewestSets(sets, 12)).toEqual({ chosen: [1, 2], exact: true });
  const given = fewestSets(sets, 12, 0);
  expect(given.exact).toBe(false);
  expect(new Set(given.chosen.flatMap((s) => sets[s] as number[])).size).toBe(12);
});
