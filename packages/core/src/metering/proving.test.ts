import { describe, expect, it } from 'vitest';
import type { Problem, Result } from '../errors/index.ts';
import { volumeOf } from '../units/index.ts';
import {
  correctedDraft,
  type Draft,
  judgeDraft,
  judgeRepeatability,
  leastDraftMilli,
  newPulsesPerMeasure,
  PROVER_METALS,
} from './proving.ts';
import { type MeterRule, toleranceFor, toleranceValue } from './tolerance.ts';

function value<T>(result: Result<T, Problem>): T {
  if (result.ok) return result.value;
  throw new Error(`${result.error.code} ${result.error.at?.field} ${result.error.found}`);
}
const code = (result: Result<unknown, Problem>): string => (result.ok ? 'ok' : result.error.code);

const gal = (indicated: number, reading: number): Draft => ({
  unit: 'gal',
  indicatedMilli: Math.round(indicated * 1000),
  readingMilli: Math.round(reading * 1000),
});
const litre = (indicated: number, reading: number): Draft => ({ ...gal(indicated, reading), unit: 'l' });
const small: MeterRule = { by: 'HB 44', accuracy: '0.5' };
const large: MeterRule = { by: 'HB 44', accuracy: '0.3' };

describe('one draft', () => {
  // Arithmetic on NIST Handbook 44, 3.30: Table T.2 (class 0.3 as quoted by a calibration firm, class 0.5's percentages and the small-draft
  // footnote's present wording from memory; 6 in3 on 5 gal also in 40 CFR 280.43(a)(5)).
  it.each([
    [small, 5, 3, 0.25974, -0.259067, 1.0025974, true, true],
    [small, 5, 6, 0.519481, -0.516796, 1.00519481, false, true],
    [small, 5, -6, -0.519481, 0.522193, 0.99480519, false, true],
    [small, 5, -4, -0.34632, 0.347524, 0.9965368, false, true],
    [small, 5, 7, 0.606061, -0.60241, 1.00606061, false, false],
    [large, 50, 25, 0.21645, -0.215983, 1.0021645, false, true],
    [large, 50, -35, -0.30303, 0.303951, 0.9969697, false, false],
  ])('%o %d gal, %d in3', (rule, indicated, reading, delivered, indication, factor, acceptance, maintenance) => {
    const draft = gal(indicated, reading);
    const one = value(judgeDraft(rule, 'acceptance', 'normal', draft));
    expect(one.deliveredPercent).toBeCloseTo(delivered, 6);
    expect(one.indicationPercent).toBeCloseTo(indication, 6);
    expect(one.meterFactor).toBeCloseTo(factor, 8);
    expect(one.direction).toBe(reading > 0 ? 'gives away' : 'short');
    expect(one.passes).toBe(acceptance);
    expect(value(judgeDraft(rule, 'maintenance', 'normal', draft)).passes).toBe(maintenance);
  });

  it('passes exactly at the limit and fails a thousandth beyond', () => {
    for (const [rule, occasion, draft] of [
      [small, 'acceptance', gal(5, 3)],
      [small, 'maintenance', gal(5, -6)],
      [large, 'acceptance', gal(50, 23.1)],
      [large, 'maintenance', gal(50, -34.65)],
    ] as const) {
      expect(value(judgeDraft(rule, occasion, 'normal', draft)).passes).toBe(true);
      const beyond = { ...draft, readingMilli: draft.readingMilli + Math.sign(draft.readingMilli) };
      expect(value(judgeDraft(rule, occasion, 'normal', beyond)).passes).toBe(false);
    }
  });

  it('slow, at class 0.3, passes up to 57.75 in3 on 50 gal', () => {
    expect(value(judgeDraft(large, 'maintenance', 'special', gal(50, -35))).passes).toBe(true);
    expect(value(judgeDraft(large, 'maintenance', 'special', gal(50, -57.75))).passes).toBe(true);
    expect(value(judgeDraft(large, 'acceptance', 'special', gal(50, -57.751))).passes).toBe(false);
  });

  it('small drafts have their own rule: 6 in3 on 5 gal passes although it is more than 0.5 %', () => {
    const one = value(judgeDraft(small, 'maintenance', 'normal', gal(5, 6)));
    expect(one.deliveredPercent).toBeGreaterThan(0.5);
    expect(one.passes).toBe(true);
    const share = (unit: 'gal' | 'l', indicated: number) =>
      toleranceValue(value(toleranceFor(small, 'maintenance', 'normal', unit, indicated * 1000, 1)));
    expect([1, 2, 5, 10].map((n) => share('gal', n))).toEqual([2, 3, 6, 11]);
    expect([1, 5, 10, 20, 40].map((n) => share('l', n))).toEqual([24, 40, 60, 100, 180]);
    // From 10 gal and 40 L on the percentages hold.
    expect(share('gal', 10.001)).toBeCloseTo(0.005 * 10.001 * 231, 9);
    expect(share('l', 41)).toBeCloseTo(0.005 * 41_000, 9);
  });

  it('gives the user 0.8658 gal on 1,000 at 1 in3 on 5 gal (printed at a trade site; the rest computed)', () => {
    expect(10 * value(judgeDraft(small, 'maintenance', 'normal', gal(5, 1))).deliveredPercent).toBeCloseTo(0.865801, 6);
    expect(10 * value(judgeDraft(small, 'maintenance', 'normal', gal(5, 6))).deliveredPercent).toBeCloseTo(5.194805, 6);
  });

  it('by Directive 2014/32/EU, Annex VII, Tables 2 and 3', () => {
    const system: MeterRule = { by: '2014/32/EU', accuracy: '0.5', line: 'A' };
    const meter: MeterRule = { by: '2014/32/EU', accuracy: '0.5', line: 'B' };
    // The error counts against the true quantity: 20 L shown, 20.1 L delivered, 0.4975 %.
    const one = value(judgeDraft(system, 'maintenance', 'normal', litre(20, 100)));
    expect(one.indicationPercent).toBeCloseTo(-0.497512, 6);
    expect(one.passes).toBe(true);
    // 19.9 L delivered: 0.5025 %.
    expect(value(judgeDraft(system, 'maintenance', 'normal', litre(20, -100))).passes).toBe(false);
    expect(value(judgeDraft(meter, 'maintenance', 'normal', litre(20, 61))).passes).toBe(false);
    const allowed = (litres: number) =>
      toleranceValue(value(toleranceFor(system, 'maintenance', 'normal', 'l', 1, litres * 1_000_000)));
    // 0.5 % of 2 L from 1 to 2 L; 1 % from 0.4 to 1 L; 1 % of 0.4 L from 0.2 to 0.4 L; 2 % from 0.1 to 0.2 L; in mL.
    [2, 1.5, 1, 0.9, 0.4, 0.3, 0.2, 0.15].forEach((litres, i) => {
      expect(allowed(litres)).toBeCloseTo([10, 10, 10, 9, 4, 4, 4, 3][i] as number, 9);
    });
    expect(code(judgeDraft(system, 'maintenance', 'normal', litre(0.09, 0)))).toBe('FW-801');
    // In gallons the same share: 5 gal are 1155 in3.
    expect(toleranceValue(value(toleranceFor(system, 'maintenance', 'normal', 'gal', 5000, 1_155_000)))).toBeCloseTo(
      5.775,
      9,
    );
  });

  it('refuses what cannot have been read', () => {
    expect(code(judgeDraft(small, 'maintenance', 'normal', gal(5, 116)))).toBe('FW-801');
    expect(code(judgeDraft(small, 'maintenance', 'normal', gal(0, 0)))).toBe('FW-801');
    expect(
      code(judgeDraft(small, 'maintenance', 'normal', { unit: 'gal', indicatedMilli: 5000, readingMilli: 0.5 })),
    ).toBe('FW-801');
  });
});

describe('repeatability (40 % of the maintenance tolerance: Handbook 44, 3.30, T.3, from memory)', () => {
  it('5 gal: 2.4 in3; 50 gal at class 0.3: 13.86 in3', () => {
    const five = value(judgeRepeatability(small, 'maintenance', 'normal', [gal(5, 1), gal(5, 3.4), gal(5, 2)]));
    expect(five.allowed).toBeCloseTo(2.4, 12);
    expect([five.range, five.passes]).toEqual([2.4, true]);
    expect(value(judgeRepeatability(small, 'maintenance', 'normal', [gal(5, 1), gal(5, 3.401)])).passes).toBe(false);
    const fifty = value(judgeRepeatability(large, 'maintenance', 'normal', [gal(50, -6.93), gal(50, 6.93)]));
    expect(fifty.allowed).toBeCloseTo(13.86, 12);
    expect(fifty.passes).toBe(true);
  });

  it('also needs every draft within tolerance, and drafts of one size', () => {
    expect(value(judgeRepeatability(small, 'maintenance', 'normal', [gal(5, 7), gal(5, 7)])).passes).toBe(false);
    expect(code(judgeRepeatability(small, 'maintenance', 'normal', [gal(5, 1)]))).toBe('FW-801');
    expect(code(judgeRepeatability(small, 'maintenance', 'normal', [gal(5, 1), gal(10, 1)]))).toBe('FW-801');
  });
});

describe('new pulses per gallon or litre (computed: old x indicated / true)', () => {
  it.each([
    [1000, gal(5, -4), 1003.475239],
    [1000, gal(5, 7), 993.975904],
    [100, gal(5, 6), 99.483204],
    [50, gal(50, -35), 50.151976],
    [384, gal(5, 3), 383.005181],
  ])('%d and %o: %d', (old, draft, expected) => {
    expect(value(newPulsesPerMeasure(old * 1000, [draft]))).toBe(Math.round(expected * 1000));
  });

  it('makes the same delivery show what the prover held', () => {
    const draft = gal(5, -4);
    const next = value(newPulsesPerMeasure(100_000_000, [draft]));
    // 500,000 pulses at the new rate, in in3: what the prover held.
    expect(((5 * 100_000_000) / next) * 231).toBeCloseTo(1155 - 4, 4);
  });

  it('takes several drafts together and refuses none or mixed ones', () => {
    const both = value(newPulsesPerMeasure(1_000_000, [gal(5, -4), gal(5, 4)]));
    expect(both).toBe(1_000_000);
    expect(code(newPulsesPerMeasure(1_000_000, []))).toBe('FW-801');
    expect(code(newPulsesPerMeasure(0, [gal(5, 1)]))).toBe('FW-801');
    expect(code(newPulsesPerMeasure(1_000_000, [gal(5, 1), litre(20, 1)]))).toBe('FW-801');
  });
});

describe('the prover’s own expansion (computed; coefficients from memory)', () => {
  const shift = (draft: Draft, expansionPerDegree: number, temperature: number, baseTemperature: number): number =>
    value(correctedDraft(draft, { expansionPerDegree, temperature, baseTemperature })).readingMilli / 1000;

  it('5 gal in stainless and in low-carbon steel', () => {
    const temps = [30, 40, 85, 100];
    const stainless = [-0.91822, -0.61215, 0.76519, 1.2243];
    const carbon = [-0.64449, -0.42966, 0.53708, 0.85932];
    temps.forEach((t, i) => {
      const { 'stainless steel': s, 'low-carbon steel': c } = PROVER_METALS;
      expect(Math.abs(shift(gal(5, 0), s.perF, t, 60) - (stainless[i] as number))).toBeLessThan(0.00051);
      expect(Math.abs(shift(gal(5, 0), c.perF, t, 60) - (carbon[i] as number))).toBeLessThan(0.00051);
    });
  });

  it('20 L in stainless and in low-carbon steel', () => {
    for (const [t, stainless, carbon] of [
      [5, 19990.46, 19993.3],
      [25, 20009.54, 20006.7],
      [35, 20019.08, 20013.4],
    ] as const) {
      expect(20_000 + shift(litre(20, 0), 4.77e-5, t, 15)).toBeCloseTo(stainless, 2);
      expect(20_000 + shift(litre(20, 0), 3.35e-5, t, 15)).toBeCloseTo(carbon, 2);
    }
  });

  it('turns a pass into a failure: +2.5 in3 at 84 °F is +3.236 in3', () => {
    const draft = gal(5, 2.5);
    const corrected = value(
      correctedDraft(draft, { expansionPerDegree: 0.0000265, temperature: 84, baseTemperature: 60 }),
    );
    expect(corrected.readingMilli).toBe(3236);
    expect(value(judgeDraft(small, 'acceptance', 'normal', draft)).passes).toBe(true);
    expect(value(judgeDraft(small, 'acceptance', 'normal', corrected)).passes).toBe(false);
  });

  it('counts the liquid’s shrinking on its way, and refuses what is no condition', () => {
    // 0.1 % less volume at the meter's temperature: 1.155 in3 of 5 gal.
    const at = { expansionPerDegree: 0, temperature: 60, baseTemperature: 60, liquid: { atProver: 0.999, atMeter: 1 } };
    expect(value(correctedDraft(gal(5, 0), at)).readingMilli).toBe(-1155);
    expect(code(correctedDraft(gal(5, 0), { ...at, temperature: 161 }))).toBe('FW-801');
    expect(code(correctedDraft(gal(5, 0), { ...at, expansionPerDegree: 0.01 }))).toBe('FW-801');
    expect(code(correctedDraft(gal(5, 0), { ...at, liquid: { atProver: 2, atMeter: 1 } }))).toBe('FW-801');
  });
});

it('a draft is at least a minute’s flow: 40 gal at 40 gal/min (Handbook 44, 3.30, N.3, from memory)', () => {
  expect(leastDraftMilli(volumeOf(40_000, 'gal'), 'gal')).toBe(40_000);
});
