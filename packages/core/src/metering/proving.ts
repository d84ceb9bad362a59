import { err, ok, type Problem, problem, type Result } from '../errors/index.ts';
import { divideRounded, type Microlitres, milliUnitsOf, type VolumeUnit } from '../units/index.ts';
import { outside, within } from './domain.ts';
import { type MeterRule, NECK_UNITS, type Occasion, type TestKind, toleranceFor, toleranceValue } from './tolerance.ts';

/**
 * One delivery into a prover. The reading is taken from the line of the indicated quantity and is **plus when the prover holds more than the meter
 * said**: the meter gives away.
 */
export interface Draft {
  readonly unit: VolumeUnit;
  /** What the meter showed, thousandths of a gallon or litre. */
  readonly indicatedMilli: number;
  /** The prover's reading, thousandths of an in3 (gallons) or of a mL (litres). */
  readonly readingMilli: number;
}

/** Reading beyond a tenth of the draft is taken for a mistake in writing it down: common practice, no source. */
const MOST_READING = 0.1;

/** Thousandths of an in3 or mL that the meter showed; exact, since a gallon is 231 in3. */
const shown = (d: Draft): number => d.indicatedMilli * NECK_UNITS[d.unit];
/** Thousandths of an in3 or mL that were delivered. */
const delivered = (d: Draft): number => shown(d) + d.readingMilli;

function wrongDraft(d: Draft): Problem | undefined {
  const refuse = (field: string, found: number, expected: string) =>
    problem('FW-801', { at: { field }, found: String(found), expected });
  if (!Number.isSafeInteger(d.indicatedMilli) || !within(d.indicatedMilli, 1, 10_000_000))
    return refuse('draft', d.indicatedMilli / 1000, `0.001 to 10,000 ${d.unit}, in thousandths`);
  const most = Math.floor(shown(d) * MOST_READING);
  if (!Number.isSafeInteger(d.readingMilli) || !within(d.readingMilli, -most, most))
    return refuse(
      'reading',
      d.readingMilli / 1000,
      `within ${most / 1000} ${d.unit === 'gal' ? 'in3' : 'mL'} of the line`,
    );
  return undefined;
}

export interface DraftResult {
  /** 100 x reading / indicated: plus when the meter gives away. Handbook 44 sets its tolerances on this one. */
  readonly deliveredPercent: number;
  /** 100 x (indicated - true) / true: plus when the meter shows too much. OIML R 117 and Directive 2014/32/EU use this one. */
  readonly indicationPercent: number;
  /** True over indicated. */
  readonly meterFactor: number;
  /** in3 or mL. */
  readonly tolerance: number;
  readonly passes: boolean;
  readonly direction: 'gives away' | 'short' | 'exact';
}

/** Judges one draft; exactly at the limit passes. @returns FW-801 for a draft or reading outside the domain. */
export function judgeDraft(
  rule: MeterRule,
  occasion: Occasion,
  kind: TestKind,
  draft: Draft,
): Result<DraftResult, Problem> {
  const wrong = wrongDraft(draft);
  if (wrong) return err(wrong);
  const tolerance = toleranceFor(rule, occasion, kind, draft.unit, draft.indicatedMilli, delivered(draft));
  if (!tolerance.ok) return tolerance;
  const { readingMilli: r } = draft;
  const { numerator, denominator } = tolerance.value;
  return ok({
    deliveredPercent: (100 * r) / shown(draft),
    indicationPercent: r === 0 ? 0 : (-100 * r) / delivered(draft),
    meterFactor: delivered(draft) / shown(draft),
    tolerance: toleranceValue(tolerance.value),
    passes: BigInt(Math.abs(r)) * denominator <= numerator * 1000n,
    direction: r === 0 ? 'exact' : r > 0 ? 'gives away' : 'short',
  });
}

export interface Repeatability {
  /** Largest less smallest reading, in3 or mL. */
  readonly range: number;
  /** 40 % of the maintenance tolerance, in3 or mL. */
  readonly allowed: number;
  /** The range is within what is allowed and every draft within its tolerance. */
  readonly passes: boolean;
}

/**
 * Several drafts of one size at about one flow: NIST Handbook 44, section 3.30, T.3 (from memory): a range of at most 40 % of the maintenance
 * tolerance, each draft within tolerance. @returns FW-801 for fewer than two drafts or drafts of different size.
 */
export function judgeRepeatability(
  rule: MeterRule,
  occasion: Occasion,
  kind: TestKind,
  drafts: readonly Draft[],
): Result<Repeatability, Problem> {
  const [first] = drafts;
  if (!first || drafts.length < 2) return outside('drafts', drafts.length, 'at least 2');
  const odd = drafts.find((d) => d.unit !== first.unit || d.indicatedMilli !== first.indicatedMilli);
  if (odd)
    return outside('draft', odd.indicatedMilli / 1000, `${first.indicatedMilli / 1000} ${first.unit}, as the first`);
  let passes = true;
  for (const draft of drafts) {
    const one = judgeDraft(rule, occasion, kind, draft);
    if (!one.ok) return one;
    passes &&= one.value.passes;
  }
  const readings = drafts.map((d) => d.readingMilli);
  const range = Math.max(...readings) - Math.min(...readings);
  const tolerance = toleranceFor(rule, 'maintenance', kind, first.unit, first.indicatedMilli, shown(first));
  if (!tolerance.ok) return tolerance;
  const { numerator, denominator } = tolerance.value;
  return ok({
    range: range / 1000,
    allowed: 0.4 * toleranceValue(tolerance.value),
    passes: passes && BigInt(range) * 5n * denominator <= numerator * 2n * 1000n,
  });
}

/**
 * Pulses per gallon or litre that would have shown what the prover held: old x indicated / true, over all drafts together; exact, rounded
 * once, half away from zero. In and out in thousandths of a pulse.
 */
export function newPulsesPerMeasure(oldMilli: number, drafts: readonly Draft[]): Result<number, Problem> {
  if (!Number.isSafeInteger(oldMilli) || oldMilli <= 0)
    return outside('pulses per gallon or litre', oldMilli / 1000, 'more than 0');
  const [first] = drafts;
  if (!first) return outside('drafts', 0, 'at least 1');
  let indicated = 0n;
  let truly = 0n;
  for (const draft of drafts) {
    const wrong = wrongDraft(draft);
    if (wrong) return err(wrong);
    if (draft.unit !== first.unit)
      return err(problem('FW-801', { at: { field: 'draft' }, found: draft.unit, expected: first.unit }));
    indicated += BigInt(shown(draft));
    truly += BigInt(delivered(draft));
  }
  return ok(Number(divideRounded(BigInt(oldMilli) * indicated, truly)));
}

export interface ProverConditions {
  /** Cubical expansion of the prover's metal per degree, from its certificate. */
  readonly expansionPerDegree: number;
  /** Of the prover's metal, in the same degrees. */
  readonly temperature: number;
  /** At which the prover holds what is written on it. */
  readonly baseTemperature: number;
  /** Volume-correction factors of the liquid in the prover and at the meter; leave both out when the temperatures are the same. */
  readonly liquid?: { readonly atProver: number; readonly atMeter: number };
}

/**
 * Cubical expansion per °F and °C of the usual prover metals, NIST HB 105-3 and SOP 18/19 (from memory): a start, the
 * certificate's number goes first.
 */
export const PROVER_METALS = {
  'stainless steel': { perF: 0.0000265, perC: 0.0000477 },
  'low-carbon steel': { perF: 0.0000186, perC: 0.0000335 },
} as const;

/**
 * The draft with its reading corrected for the prover's own expansion, V [1 + G (t - base)], and for the liquid's between meter and prover,
 * V x CTL(prover) / CTL(meter); rounded to a thousandth of an in3 or mL. Up to 100 degrees from the base, 0.001 per degree, factors 0.8 to 1.2.
 */
export function correctedDraft(draft: Draft, at: ProverConditions): Result<Draft, Problem> {
  const wrong = wrongDraft(draft);
  if (wrong) return err(wrong);
  const difference = at.temperature - at.baseTemperature;
  if (!within(at.expansionPerDegree, 0, 0.001))
    return outside('expansion', at.expansionPerDegree, '0 to 0.001 per degree');
  if (!within(difference, -100, 100)) return outside('temperature', at.temperature, 'within 100 degrees of the base');
  const { atProver, atMeter } = at.liquid ?? { atProver: 1, atMeter: 1 };
  for (const factor of [atProver, atMeter])
    if (!within(factor, 0.8, 1.2)) return outside('liquid factor', factor, '0.8 to 1.2');
  const held = delivered(draft) * (1 + at.expansionPerDegree * difference);
  return ok({ ...draft, readingMilli: Math.round((held * atProver) / atMeter) - shown(draft) });
}

/**
 * The smallest draft that tells something at a flow (microlitres per minute): one minute's delivery (Handbook 44, section 3.30, N.3, from memory).
 * In thousandths of a gallon or litre.
 */
export const leastDraftMilli = (flow: Microlitres, unit: VolumeUnit): number => milliUnitsOf(flow, unit);
