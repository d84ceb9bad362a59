import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { closeOrder, KEPT_LAGS, learnLag } from './lag.ts';

/** 20 gal/min, 100 pulses a gallon: 33 pulses a second at full flow. */
const HOSE = { flowUlPerMin: 75_708_236, pulsesPerMeasure: 100_000 };
const learn = (lags: readonly number[]) => learnLag(HOSE, 'gal', lags);

describe('the learnt lag', () => {
  it('is what is assumed until enough was measured, and never less before', () => {
    expect(learn([])).toEqual({ ahead: 3, typical: 3, spread: 3, of: 0, known: 'assumed' });
    expect(learn([0, 0])).toMatchObject({ ahead: 3, known: 'assumed' });
    expect(learn([8, 8, 9, 8])).toMatchObject({ ahead: 9, known: 'assumed' });
    expect(learn([1, 1, 1, 2, 1])).toMatchObject({ ahead: 2, typical: 1, spread: 1, known: 'learnt' });
  });

  it('is not moved by one closing in five that is far off, and follows a valve that ages', () => {
    const steady = [6, 7, 6, 7, 6, 6, 7, 6];
    const { ahead } = learn(steady);
    expect(learn([...steady, 0, 60]).ahead).toBeLessThanOrEqual(ahead + 3);
    expect(learn([...steady, ...new Array(KEPT_LAGS).fill(12)]).ahead).toBe(13);
  });

  it('is a whole number within its bounds, whatever was measured, and none is lost to the order', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 5_000 }), { maxLength: 40 }),
        fc.integer({ min: 1, max: 100_000 }),
        (lags, limit) => {
          const lag = learn(lags);
          expect(Number.isSafeInteger(lag.ahead)).toBe(true);
          expect(lag.ahead).toBeGreaterThanOrEqual(0);
          expect(lag.ahead).toBeLessThanOrEqual(67);
          const order = closeOrder(HOSE, 'gal', limit, lag);
          expect(order.stopAtPulses).toBeGreaterThanOrEqual(1);
          expect(order.stopAtPulses).toBeLessThanOrEqual(limit);
          expect(order.slowAtPulses).toBeGreaterThanOrEqual(0);
          expect(order.slowAtPulses).toBeLessThanOrEqual(order.stopAtPulses);
          // Whatever runs on for just so long ends just at the limit.
          if (limit > lag.ahead) expect(order.stopAtPulses + lag.ahead).toBe(limit);
          // Whatever lies within median and spread ends at the limit.
          if (limit > lag.ahead && lag.ahead < 67 && lag.of >= 5)
            for (const l of lags.slice(-KEPT_LAGS))
              if (l <= lag.typical + lag.spread) expect(order.stopAtPulses + l).toBeLessThanOrEqual(limit);
        },
      ),
      { seed: 5, numRuns: 400 },
    );
    expect(() => learn([-1])).toThrow(RangeError);
    expect(() => learn([0.5])).toThrow(RangeError);
  });
});
