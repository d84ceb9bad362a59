import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { loadThatFits } from './order.ts';
import { demandOf, pinball, runOut } from './run-out.ts';

const WEEK = [1, 1.1, 1, 1, 1.2, 0.4, 0.1];
const even = (weeks: number, daily = 1000) =>
  Array.from({ length: 7 * weeks }, (_, i) => ({ weekday: i % 7, litres: daily * (WEEK[i % 7] as number) }));

describe('what will be drawn', () => {
  it('a week that never changes is foretold exactly', () => {
    const demand = demandOf(even(10));
    expect(demand?.within(7, 0.5)).toBeCloseTo(5800, 0);
    expect(demand?.within(1, 0.5)).toBeCloseTo(1000, 0);
    expect(demand && runOut(demand, 3500, 2)).toEqual({ likelyDays: 3, earlyDays: 3, orderWithinDays: 1 });
    expect(demand && runOut(demand, 0, 2)).toEqual({ likelyDays: 0, earlyDays: 0, orderWithinDays: 0 });
    expect(demand && runOut(demand, 1e9, 2)).toEqual({ likelyDays: null, earlyDays: null, orderWithinDays: null });
    expect(demandOf(even(3))).toBeUndefined();
  });
  it('quantiles rise with the chance and with the days', () => {
    const days = even(20).map((d, i) => ({ ...d, litres: d.litres * (0.6 + ((i * 2654435761) % 1000) / 1250) }));
    const demand = demandOf(days);
    if (!demand) throw new Error('no demand');
    for (let d = 1; d <= 28; d++) {
      expect(demand.within(d, 0.95)).toBeGreaterThanOrEqual(demand.within(d, 0.5));
      if (d > 1) expect(demand.within(d, 0.5)).toBeGreaterThan(demand.within(d - 1, 0.5) * 0.98);
    }
    expect(() => demand.within(29, 0.5)).toThrow(RangeError);
  });
  it('pinball loss: a 95 % quantile pays nineteen times more for being below', () => {
    expect(pinball(0.95, 90, 100)).toBeCloseTo(9.5);
    expect(pinball(0.95, 110, 100)).toBeCloseTo(0.5);
  });
});

describe('the load that fits', () => {
  it('is the most whole compartments below the safe fill', () => {
    expect(loadThatFits(7000, [3000, 2500, 2000, 4000])).toEqual({ compartments: [0, 3], volume: 7000 });
    expect(loadThatFits(0, [100])).toEqual({ compartments: [], volume: 0 });
    expect(() => loadThatFits(1, new Array(13).fill(1))).toThrow(RangeError);
  });
  it('never passes it, and no single compartment more would fit', () => {
    const part = fc.integer({ min: 1, max: 9_000 });
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 12_000 }), fc.array(part, { maxLength: 8 }), (room, compartments) => {
        const load = loadThatFits(room, compartments);
        expect(load.volume).toBeLessThanOrEqual(room);
        for (const [i, c] of compartments.entries())
          if (!load.compartments.includes(i)) expect(load.volume + c).toBeGreaterThan(room);
      }),
    );
  });
});
