import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { volumeOf } from '../units/index.ts';
import {
  beginCount,
  type CounterSetup,
  type CounterState,
  countOn,
  longestGapMs,
  mostPulses,
  pulseRate,
} from './counter.ts';

// 40 gal/min at 100 pulses/gal: 66.667 pulses a second.
const setup: CounterSetup = { bits: 16, mostPer1000s: 66_667 };

function step(state: CounterState, raw: number, elapsedMs: number, by: CounterSetup = setup) {
  const result = countOn(by, state, raw, elapsedMs);
  if (!result.ok) throw new Error(result.error.code);
  return result.value;
}

describe('pulse rates', () => {
  it('at a flow (by arithmetic: gallons a minute x pulses a gallon / 60)', () => {
    expect(pulseRate(volumeOf(10_000, 'gal'), 1_000_000, 'gal')).toBe(166_667);
    expect(pulseRate(volumeOf(60_000, 'gal'), 100_000, 'gal')).toBe(100_000);
    expect(pulseRate(volumeOf(120_000, 'l'), 100_000, 'l')).toBe(200_000);
  });

  it('leave a margin, and say how often to read', () => {
    expect(mostPulses(setup, 1000)).toBe(83 + 4);
    expect(mostPulses(setup, 0)).toBe(4);
    const gap = longestGapMs(setup);
    expect(mostPulses(setup, gap)).toBeLessThan(32_768);
    expect(mostPulses(setup, gap + 1000)).toBeGreaterThanOrEqual(32_768);
  });
});

describe('a counter that turns over', () => {
  it('adds up to what flowed, wherever it starts and however often it turns', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(16 as const, 32 as const),
        fc.double({ min: 0, max: 1, maxExcluded: true, noNaN: true }),
        fc.array(
          fc.record({ ms: fc.integer({ min: 0, max: 300_000 }), share: fc.double({ min: 0, max: 1, noNaN: true }) }),
          {
            maxLength: 60,
          },
        ),
        (bits, start, steps) => {
          const by: CounterSetup = { bits, mostPer1000s: 66_667 };
          const turn = 2 ** bits;
          let raw = Math.floor(start * turn);
          let state: CounterState = { raw, total: 0 };
          let flowed = 0;
          for (const { ms, share } of steps) {
            const pulses = Math.floor(share * ((66_667 * ms) / 1e6));
            raw = (raw + pulses) % turn;
            flowed += pulses;
            const next = step(state, raw, ms, by);
            expect(next.doubt).toBeUndefined();
            expect(next.added).toBe(pulses);
            state = next.state;
          }
          expect(state.total).toBe(flowed);
        },
      ),
      { numRuns: 300, seed: 11 },
    );
  });

  it('over its last number', () => {
    expect(step({ raw: 65_530, total: 7 }, 4, 1000)).toEqual({ state: { raw: 4, total: 17 }, added: 10 });
    expect(step({ raw: 2 ** 32 - 1, total: 0 }, 0, 1000, { ...setup, bits: 32 }).added).toBe(1);
  });
});

describe('what cannot be', () => {
  const state = { raw: 30_000, total: 500 };

  it('adds nothing and goes on from the new reading', () => {
    const cases: [raw: number, ms: number, doubt: string, unexplained: number][] = [
      [29_998, 1000, 'stepped back', 65_534],
      [30_088, 1000, 'leapt', 88],
      [0, 1000, 'began anew', 35_536],
      [3, 1000, 'began anew', 35_539],
      [12_000, 1000, 'leapt', 47_536],
      [30_001, 600_000, 'read too late', 1],
    ];
    for (const [raw, ms, doubt, unexplained] of cases) {
      const next = step(state, raw, ms);
      expect(next).toEqual({ state: { raw, total: 500 }, added: 0, doubt, unexplained });
      expect(step(next.state, raw + 5, 1000)).toEqual({ state: { raw: raw + 5, total: 505 }, added: 5 });
    }
    expect(step(state, 30_087, 1000).doubt).toBeUndefined();
  });

  it('refuses readings that this counter cannot give', () => {
    for (const raw of [-1, 65_536, 1.5, Number.NaN]) {
      const next = countOn(setup, state, raw, 1000);
      expect(next.ok ? 'ok' : next.error.code).toBe('FW-702');
      expect(beginCount(setup, raw).ok).toBe(false);
    }
    const back = countOn(setup, state, 30_000, -1);
    expect(back.ok ? 'ok' : back.error.code).toBe('FW-801');
    expect(beginCount(setup, 65_535)).toEqual({ ok: true, value: { raw: 65_535, total: 0 } });
  });

  it('never adds more than the hose can flow', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 65_535 }),
        fc.integer({ min: 0, max: 65_535 }),
        fc.integer({ min: 0, max: 1e6 }),
        (from, to, ms) => {
          const next = step({ raw: from, total: 0 }, to, ms);
          expect(next.added).toBeLessThanOrEqual(mostPulses(setup, ms));
          expect(next.added > 0 && next.doubt !== undefined).toBe(false);
        },
      ),
      { numRuns: 500, seed: 12 },
    );
  });
});
