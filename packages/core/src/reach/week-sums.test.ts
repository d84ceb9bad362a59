import { describe, expect, it } from 'vitest';
import { seeded } from '../../test/small-world.ts';
import { stretchesOf } from './week-sums.ts';

const KINDS = ['gained', 'lost', 'raised', 'lowered'] as const;

describe('the stretches of a changed week', () => {
  it('say of every minute what was added up to it, and of neighbours not the same', () => {
    for (let seed = 1; seed <= 20; seed++) {
      const random = seeded(seed);
      const steps = KINDS.map(() => new Float64Array(10_081));
      // Now and then in the very next minute, and not of every kind.
      let minute = Math.floor(random() * 3);
      while (minute <= 10_080) {
        for (const kind of steps) if (random() < 0.4) kind[minute] = Math.floor(random() * 5) - 2;
        minute += random() < 0.5 ? 1 : Math.floor(random() * 2000);
      }
      const found = stretchesOf(steps);
      const sums = [0, 0, 0, 0];
      const want = Array.from({ length: 10_080 }, (_, at) => {
        for (const [n, kind] of steps.entries()) sums[n] = (sums[n] as number) + (kind[at] as number);
        return sums.join();
      });
      const said = found.flatMap((s) => Array(s.to - s.from).fill(KINDS.map((kind) => s[kind]).join()));
      expect(said, `seed ${seed}`).toEqual(want);
      for (const [n, s] of found.entries()) {
        expect(s.to).toBe(found[n + 1]?.from ?? 10_080);
        expect(KINDS.some((kind) => s[kind] !== found[n + 1]?.[kind])).toBe(true);
      }
    }
  });
});
