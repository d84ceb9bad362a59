import { err, ok, type Problem, type Result } from '../errors/index.ts';
import type { Microlitres, VolumeUnit } from '../units/index.ts';
import { outside } from './domain.ts';
import {
  correctedDraft,
  type Draft,
  type DraftResult,
  judgeDraft,
  judgeRepeatability,
  leastDraftMilli,
  newPulsesPerMeasure,
  type ProverConditions,
  type Repeatability,
} from './proving.ts';
import { fahrenheitOfCelsius } from './temperature-scale.ts';
import type { MeterRule, Occasion, TestKind } from './tolerance.ts';
import { correctTo60F } from './volume-correction.ts';

/** One delivery into the prover as it is written down at the island. Temperatures in °C; null where none was read. */
export interface RunDraft {
  readonly kind: TestKind;
  readonly indicatedMilli: number;
  readonly readingMilli: number;
  /** Microlitres a minute. */
  readonly flow: Microlitres | null;
  readonly meterC: number | null;
  readonly proverC: number | null;
}

export interface ProverRecord {
  readonly name: string;
  /** Number of its certificate. */
  readonly certificate: string;
  /** YYYY-MM-DD, both included. */
  readonly certifiedOn: string;
  readonly expiresOn: string;
  /** At which it holds what is written on it. */
  readonly baseC: number;
  /** Cubical expansion of its metal, from the certificate. */
  readonly expansionPerC: number;
}

/** A proving run of one hose: what was done, without what follows from it. */
export interface ProvingRun {
  readonly unit: VolumeUnit;
  readonly rule: MeterRule;
  readonly occasion: Occasion;
  /** Local date of the run, YYYY-MM-DD. */
  readonly date: string;
  /** Pulses per gallon or litre while it was run, in thousandths. */
  readonly pulsesMilli: number;
  readonly prover: ProverRecord;
  /** Density at 60 °F in kg/m3 of a refined product (API MPMS 11.1), for the liquid between meter and prover; null: not corrected. */
  readonly density: number | null;
  readonly drafts: readonly RunDraft[];
}

/** Why a run that does not fail is still no proof. */
export const RUN_LACKS = {
  noFull: 'there is no draft at full flow',
  noSlow: 'there is no draft at slow flow',
  certificate: 'the prover’s certificate does not cover the day',
  once: 'no two drafts of one size at full flow, so that repeatability cannot be told',
} as const;
/** What a person should know though it does not void the run. */
export const RUN_CAUTIONS = {
  proverTemperature: 'a draft without the prover’s temperature: its expansion is not corrected',
  liquid: 'meter and prover differ in temperature and the liquid is not corrected',
  small: 'a draft at full flow is smaller than one minute’s delivery',
  near: 'an error is beyond half of the tolerance: adjust as near to zero as practicable',
} as const;
export type RunLack = keyof typeof RUN_LACKS;
export type RunCaution = keyof typeof RUN_CAUTIONS;

export interface RunJudged {
  /** Fails: a draft or the repeatability is beyond what is allowed. Incomplete: nothing fails, but it proves nothing yet. */
  readonly verdict: 'passes' | 'fails' | 'incomplete';
  readonly drafts: readonly (DraftResult & { readonly kind: TestKind; readonly correctedMilli: number })[];
  /** Of each group of equal drafts at full flow. */
  readonly repeatability: readonly (Repeatability & { readonly indicatedMilli: number; readonly drafts: number })[];
  readonly lacks: readonly RunLack[];
  readonly cautions: readonly RunCaution[];
  /** Mean over the drafts at full flow, plus when it gives away; null without any. */
  readonly deliveredPercent: number | null;
  /** Thousandths of a pulse per gallon or litre that would have been right at full flow; with them a proof must follow. */
  readonly truePulsesMilli: number | null;
}

/** Most drafts of one run. */
export const MOST_DRAFTS = 20;

/**
 * The rule that usually holds for a hose: by rated flow, class 0.3 above 30 gal/min, 1.1 below 1 gal/min, otherwise 0.5 (Handbook 44,
 * section 3.30; the limits as in tolerance.ts); 2014/32/EU class 0.5 for a whole system where litres are counted. A start: which rule is law
 * the authority says.
 */
export function usualRule(unit: VolumeUnit, ratedFlow: Microlitres): MeterRule {
  if (unit === 'l') return { by: '2014/32/EU', accuracy: '0.5', line: 'A' };
  const perMinute = leastDraftMilli(ratedFlow, 'gal');
  return { by: 'HB 44', accuracy: perMinute > 30_000 ? '0.3' : perMinute < 1000 ? '1.1' : '0.5' };
}

/**
 * Judges a run: each draft, corrected for the prover's own and the liquid's temperature where they were read, against its tolerance;
 * repeatability of equal drafts at full flow (Handbook 44, section 3.30, T.3, from memory).
 * @returns FW-801 for a value outside its domain; `at.field` begins with 'draft N' for the draft it is in.
 */
export function judgeRun(run: ProvingRun): Result<RunJudged, Problem> {
  if (run.drafts.length === 0 || run.drafts.length > MOST_DRAFTS)
    return outside('drafts', run.drafts.length, `1 to ${MOST_DRAFTS}`);
  const cautions = new Set<RunCaution>();
  const drafts: RunJudged['drafts'][number][] = [];
  const full: Draft[] = [];
  for (const [i, d] of run.drafts.entries()) {
    const inDraft = (p: Problem): Result<never, Problem> =>
      err({ ...p, at: { ...p.at, field: `draft ${i + 1}: ${p.at?.field ?? ''}` } });
    const corrected = correct(run, d, cautions);
    if (!corrected.ok) return inDraft(corrected.error);
    const judged = judgeDraft(run.rule, run.occasion, d.kind, corrected.value);
    if (!judged.ok) return inDraft(judged.error);
    drafts.push({ ...judged.value, kind: d.kind, correctedMilli: corrected.value.readingMilli });
    if (d.kind === 'normal') {
      full.push(corrected.value);
      // Handbook 44, section 3.30, N.3 (from memory). A 5 gal measure is usual up to 20 gal/min, so only the large class is told.
      const large = run.rule.by === 'HB 44' && run.rule.accuracy === '0.3';
      if (large && d.flow !== null && d.indicatedMilli < leastDraftMilli(d.flow, run.unit)) cautions.add('small');
    }
    if (2 * Math.abs(corrected.value.readingMilli) > judged.value.tolerance * 1000) cautions.add('near');
  }
  const repeatability = repeats(run, full);
  if (!repeatability.ok) return repeatability;
  const lacks: RunLack[] = [];
  if (full.length === 0) lacks.push('noFull');
  else if (repeatability.value.length === 0) lacks.push('once');
  if (full.length === drafts.length) lacks.push('noSlow');
  const { certifiedOn, expiresOn } = run.prover;
  if (run.date < certifiedOn || run.date > expiresOn) lacks.push('certificate');
  const fails = drafts.some((d) => !d.passes) || repeatability.value.some((r) => !r.passes);
  const pulses = full.length > 0 ? newPulsesPerMeasure(run.pulsesMilli, full) : undefined;
  if (pulses && !pulses.ok) return pulses;
  return ok({
    verdict: fails ? 'fails' : lacks.length > 0 ? 'incomplete' : 'passes',
    drafts,
    repeatability: repeatability.value,
    lacks,
    cautions: [...cautions],
    deliveredPercent:
      full.length === 0
        ? null
        : drafts.filter((d) => d.kind === 'normal').reduce((sum, d) => sum + d.deliveredPercent, 0) / full.length,
    truePulsesMilli: pulses?.value ?? null,
  });
}

function correct(run: ProvingRun, d: RunDraft, cautions: Set<RunCaution>): Result<Draft, Problem> {
  const draft: Draft = { unit: run.unit, indicatedMilli: d.indicatedMilli, readingMilli: d.readingMilli };
  if (d.proverC === null) cautions.add('proverTemperature');
  let liquid: ProverConditions['liquid'];
  if (d.meterC !== null && d.proverC !== null && d.meterC !== d.proverC) {
    if (run.density === null) cautions.add('liquid');
    else {
      const atProver = correctTo60F('refined', run.density, fahrenheitOfCelsius(d.proverC));
      if (!atProver.ok) return atProver;
      const atMeter = correctTo60F('refined', run.density, fahrenheitOfCelsius(d.meterC));
      if (!atMeter.ok) return atMeter;
      liquid = { atProver: atProver.value.ctl, atMeter: atMeter.value.ctl };
    }
  }
  return correctedDraft(draft, {
    expansionPerDegree: run.prover.expansionPerC,
    temperature: d.proverC ?? run.prover.baseC,
    baseTemperature: run.prover.baseC,
    ...(liquid ? { liquid } : {}),
  });
}

function repeats(run: ProvingRun, full: readonly Draft[]): Result<RunJudged['repeatability'], Problem> {
  const bySize = new Map<number, Draft[]>();
  for (const d of full) bySize.set(d.indicatedMilli, [...(bySize.get(d.indicatedMilli) ?? []), d]);
  const list: RunJudged['repeatability'][number][] = [];
  for (const [indicatedMilli, drafts] of bySize) {
    if (drafts.length < 2) continue;
    const one = judgeRepeatability(run.rule, run.occasion, 'normal', drafts);
    if (!one.ok) return one;
    list.push({ ...one.value, indicatedMilli, drafts: drafts.length });
  }
  return ok(list);
}
