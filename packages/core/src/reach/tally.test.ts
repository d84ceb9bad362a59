import { describe, expect, it } from 'vitest';
import { seeded } from '../../test/small-world.ts';
import { KINDS, Tally } from './tally.ts';

describe('points by group', () => {
  it('are exact whatever their number', () => {
    const tally = new Tally();
    const random = seeded(5);
    const below = (n: number) => Math.floor(random() * n);
    const want = new Map<string, bigint>();
    const slots = new Map<number, string>();
    for (let n = 0; n < 4000; n++) {
      const product = `p${below(2)}`;
      const [kind, before, after] = [below(4), below(3) - 1, below(3) - 1];
      // From a few points to more than a number holds exactly, taken out as well as put in.
      const large = n % 50 === 0;
      const times = large ? 4_503_599_627 : (below(10 ** below(12)) + 1) * (random() < 0.3 ? -1 : 1);
      const minutes = large ? 999_983 : below(10 ** below(7));
      const slot = tally.add(tally.of(product), kind, before, after, times, minutes);
      const key = `${KINDS[kind]} ${product} ${before} ${after}`;
      expect(slots.get(slot) ?? key).toBe(key);
      slots.set(slot, key);
      want.set(key, (want.get(key) ?? 0n) + BigInt(times) * BigInt(minutes));
      expect(tally.points(slot)).toBe(want.get(key));
    }
    expect(slots.size).toBe(want.size);
    expect([...tally.touched].sort()).toEqual([...slots.keys()].sort());
    for (const [slot, key] of slots) {
      const k = tally.keys[slot];
      expect(`${k?.kind} ${k?.product} ${k?.whyBefore} ${k?.whyAfter}`).toBe(key);
    }
    expect(Math.max(...[...want.values()].map(Number))).toBeGreaterThan(2 ** 53);
  });
});
