import tQuantile from '@stdlib/stats-base-dists-t-quantile';
import { LITRES_PER_GALLON } from '../metering/index.ts';
import type { TankModel } from './tank-model.ts';

/** 0.2 US gallons an hour: what a monthly method must be able to find (40 CFR 280.43(d) and (h)). Litres an hour. */
export const MONTHLY_LIMIT = 0.2 * LITRES_PER_GALLON;

export type Verdict = 'pass' | 'fail' | 'inconclusive';

export interface Judged {
  readonly verdict: Verdict;
  /** Litres an hour; above zero: fuel is lost. */
  readonly rate: number;
  /** Half the width of the 90 % interval, so that each side is wrong in one of twenty. */
  readonly margin: number;
  /** The least rate that would be declared with 95 % certainty while at most 5 % of tight tanks are: 2 t s (EPA's standard test procedures, 1990; formulas from memory). */
  readonly leastSeen: number;
  /** A rate above this is declared: half the limit, or more where the month is worse than that allows. */
  readonly threshold: number;
  readonly limit: number;
  readonly why: 'within' | 'lost' | 'gains' | 'not seen';
}

/**
 * Pass, fail or inconclusive. Never 'pass' where the least rate that could be seen is above the limit; such a month fails when the loss
 * is beyond doubt all the same, else it is inconclusive. A tank that gains is not passed either: water may be coming in, or a book is wrong.
 */
export function judge(model: Pick<TankModel, 'leak' | 'freedom'>, limit: number = MONTHLY_LIMIT): Judged {
  if (!(limit > 0)) throw new RangeError('the limit must be above zero');
  const margin = tQuantile(0.95, model.freedom) * model.leak.deviation;
  const rate = model.leak.value;
  const leastSeen = 2 * margin;
  const threshold = Math.max(limit / 2, margin);
  const of = (verdict: Verdict, why: Judged['why']): Judged => ({
    verdict,
    why,
    rate,
    margin,
    leastSeen,
    threshold,
    limit,
  });
  if (rate > threshold) return of('fail', 'lost');
  if (leastSeen > limit) return of('inconclusive', 'not seen');
  return rate < -threshold ? of('inconclusive', 'gains') : of('pass', 'within');
}

export interface DriftJudged {
  readonly hose: string;
  readonly relative: number | null;
  readonly margin: number | null;
  readonly verdict: 'in step' | 'drifts' | 'cannot be told apart';
}

/** Beyond this a meter is out of its class in trade: 0.5 % (OIML R 117 class 0.5). */
const DRIFT_LIMIT = 0.005;

/** Which hose counts otherwise than the tank's others. One in twenty months in step, by all hoses together (Bonferroni). */
export function judgeDrifts(model: Pick<TankModel, 'drifts' | 'freedom'>): DriftJudged[] {
  const t = tQuantile(1 - 0.025 / Math.max(1, model.drifts.length), model.freedom);
  const furthest = model.drifts.reduce((most, d) => Math.max(most, ratio(d)), 0);
  return model.drifts.map((d) => {
    const { hose, relative } = d;
    if (relative === null || d.deviation === null)
      return { hose, relative, margin: null, verdict: 'cannot be told apart' };
    const margin = t * d.deviation;
    // One meter that drifts moves every comparison: only the one that stands out most is named.
    if (Math.abs(relative) > margin && ratio(d) === furthest) return { hose, relative, margin, verdict: 'drifts' };
    return { hose, relative, margin, verdict: margin > DRIFT_LIMIT ? 'cannot be told apart' : 'in step' };
  });
}

const ratio = (d: TankModel['drifts'][number]): number =>
  d.relative === null || d.deviation === null ? 0 : Math.abs(d.relative) / d.deviation;
