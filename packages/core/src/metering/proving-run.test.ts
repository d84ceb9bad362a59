import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { judgeRun, meterDrift, meterStanding, type ProvingRun, type RunDraft, usualRule } from './index.ts';

const gallons = (n: number) => Math.round(n * 3_785_411.784);
const prover = {
  name: '5 gal measure',
  certificate: 'C-1',
  certifiedOn: '2026-01-01',
  expiresOn: '2026-12-31',
  baseC: (60 - 32) / 1.8,
  expansionPerC: 0.0000477,
};
const draft = (readingIn3: number, more: Partial<RunDraft> = {}): RunDraft => ({
  kind: 'normal',
  indicatedMilli: 5000,
  readingMilli: readingIn3 * 1000,
  flow: gallons(10),
  meterC: null,
  proverC: prover.baseC,
  ...more,
});
const run = (drafts: RunDraft[], more: Partial<ProvingRun> = {}): ProvingRun => ({
  unit: 'gal',
  rule: { by: 'HB 44', accuracy: '0.5' },
  occasion: 'maintenance',
  date: '2026-06-01',
  pulsesMilli: 1_000_000,
  prover,
  density: null,
  drafts,
  ...more,
});
const judged = (r: ProvingRun) => {
  const j = judgeRun(r);
  if (!j.ok) throw new Error(JSON.stringify(j.error));
  return j.value;
};
const slow = (r: number) => draft(r, { kind: 'special' });

describe('a proving run', () => {
  // Readings and limits as in proving.test.ts: Handbook 44, section 3.30, small drafts and T.3 (from memory; computed by hand).
  it('passes with two drafts at full flow and one slow, each and together within tolerance', () => {
    const j = judged(run([draft(-2), draft(0), slow(6)]));
    expect(j).toMatchObject({ verdict: 'passes', lacks: [] });
    expect(j.repeatability).toMatchObject([{ range: 2, passes: true, indicatedMilli: 5000, drafts: 2 }]);
    expect(j.repeatability[0]?.allowed).toBeCloseTo(2.4, 12);
    expect(j.truePulsesMilli).toBe(Math.round((1_000_000 * 2310) / 2308));
  });
  it('fails for one draft beyond, and for a range beyond 40 % though each draft passes', () => {
    expect(judged(run([draft(0), draft(0), slow(6.001)])).verdict).toBe('fails');
    expect(judged(run([draft(-1), draft(1.5), slow(0)])).verdict).toBe('fails');
  });
  it('proves nothing without a slow draft, a second draft, or a certificate that covers the day', () => {
    expect(judged(run([draft(0), draft(0)])).lacks).toEqual(['noSlow']);
    expect(judged(run([slow(0)])).lacks).toEqual(['noFull']);
    expect(judged(run([draft(0), slow(0)])).lacks).toEqual(['once']);
    const late = judged(run([draft(0), draft(0), slow(0)], { date: '2027-01-01' }));
    expect([late.verdict, late.lacks]).toEqual(['incomplete', ['certificate']]);
    expect(judged(run([draft(0), draft(0), slow(0)], { date: '2026-12-31' })).verdict).toBe('passes');
  });
  it('a warm prover: +2.5 in3 at 84 °F passes acceptance as read and fails corrected', () => {
    // (1155 + 2.5)(1 + 0.0000265 x 24) = 1158.23617 in3, computed by hand; expansion per °F of stainless steel from memory.
    const warm = { proverC: (84 - 32) / 1.8 };
    const stainless = { ...prover, expansionPerC: 0.0000265 * 1.8 };
    const one = run([draft(2.5, warm)], { occasion: 'acceptance', prover: stainless });
    expect(judged(one).drafts[0]?.correctedMilli).toBe(3236);
    expect(judged(one).verdict).toBe('fails');
    expect(judged({ ...one, drafts: [draft(2.5, { proverC: null })] })).toMatchObject({
      verdict: 'incomplete',
      cautions: expect.arrayContaining(['proverTemperature', 'near']),
    });
  });
  it('liquid that cools between meter and prover is corrected where the density is known, else said', () => {
    const cooled = run([draft(0, { meterC: 25, proverC: 15 })], { density: 845 });
    const j = judged(cooled);
    // 10 K x about 0.00083 per K of 1155 in3: some 9.5 in3 that the meter truly gave.
    expect((j.drafts[0]?.correctedMilli ?? 0) / 1000).toBeGreaterThan(8.5);
    expect((j.drafts[0]?.correctedMilli ?? 0) / 1000).toBeLessThan(10.5);
    expect(judged({ ...cooled, density: null }).cautions).toContain('liquid');
  });
  it('classes by rated flow; litres by the directive', () => {
    expect(usualRule('gal', gallons(40))).toMatchObject({ accuracy: '0.3' });
    expect(usualRule('gal', gallons(30))).toMatchObject({ accuracy: '0.5' });
    expect(usualRule('gal', gallons(0.5))).toMatchObject({ accuracy: '1.1' });
    expect(usualRule('l', 40_000_000)).toMatchObject({ by: '2014/32/EU', accuracy: '0.5', line: 'A' });
  });
  it('says in which draft a value is outside', () => {
    const j = judgeRun(run([draft(0), draft(500)]));
    expect(j.ok).toBe(false);
    if (!j.ok) expect(j.error.at?.field).toMatch(/^draft 2: reading/);
    expect(judgeRun(run([])).ok).toBe(false);
  });
  it('the new pulses, proved again, give an error of nothing: within what the last thousandth of a pulse can say', () => {
    fc.assert(
      fc.property(fc.integer({ min: -5900, max: 5900 }), fc.integer({ min: 50_000, max: 5_000_000 }), (r, pulses) => {
        const before = judged(run([draft(0, { readingMilli: r })], { pulsesMilli: pulses }));
        const set = before.truePulsesMilli as number;
        // The same true volume, by the new pulses: what the meter would have shown, and how far the prover is off it.
        const shown = 1155 * (pulses / set);
        const reading = 1155 + r / 1000 - shown;
        expect(Math.abs((100 * reading) / shown)).toBeLessThan(0.002);
      }),
    );
  });
});

describe('a meter’s history', () => {
  const DAY = 86_400_000;
  it('drift does not see adjustments: only what the meter gives per pulse', () => {
    // A meter that gives 0.1 % more every year, proved twice a year and set right each time.
    const proofs = Array.from({ length: 7 }, (_, i) => {
      const truth = 1_000_000 / (1 + (0.001 * i * 182.62125) / 365.2425);
      return {
        at: i * 182.62125 * DAY,
        verdict: 'passes' as const,
        pulsesMilli: Math.round(truth + 300),
        truePulsesMilli: truth,
      };
    });
    const drift = meterDrift([...proofs].reverse());
    expect(drift.perYear).toBeCloseTo(0.1, 3);
    expect(drift.points[0]?.percent).toBe(0);
    expect(meterDrift(proofs.slice(0, 2)).perYear).toBeNull();
    expect(meterDrift([])).toEqual({ points: [], perYear: null });
  });
  it('stands as the last whole run says, until it is due or other pulses are set', () => {
    const pass = { at: 10 * DAY, verdict: 'passes' as const, pulsesMilli: 100, truePulsesMilli: 100 };
    const fail = { ...pass, at: 20 * DAY, verdict: 'fails' as const };
    const half = { ...pass, at: 30 * DAY, verdict: 'incomplete' as const };
    const state = (list: (typeof pass | typeof fail | typeof half)[], pulses: number, at: number) =>
      meterStanding(list, pulses, at * DAY).state;
    expect(state([half], 100, 40)).toBe('never');
    expect(state([pass, half], 100, 40)).toBe('proved');
    expect(state([pass, fail], 100, 40)).toBe('failed');
    expect(state([pass, fail], 101, 40)).toBe('changed');
    expect(state([pass], 100, 374)).toBe('proved');
    expect(state([pass], 100, 375)).toBe('due');
    expect(state([fail], 100, 15)).toBe('never');
  });
});
