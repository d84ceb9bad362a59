import tQuantile from '@stdlib/stats-base-dists-t-quantile';
import { LITRES_PER_GALLON } from '../metering/index.ts';
import { type DriftModel, driftModels } from './meters.ts';
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
  /** Half the width of the 95 % interval of `relative`. */
  readonly margin: number | null;
  /** How likely it is that this hose drifts, alone or with one other; null with one hose, where a drift is a chart out of scale too. */
  readonly chance: number | null;
  readonly verdict: 'in step' | 'drifts' | 'cannot be told apart';
}

export interface MetersJudged {
  readonly hoses: readonly DriftJudged[];
  /**
   * Where something drifts beyond doubt and it is not sure which: the hoses, or pairs of hoses, one of which it is, likeliest first. Two that
   * drift alike look much like the others drifting the other way.
   */
  readonly oneOf: readonly { readonly hoses: readonly string[]; readonly chance: number }[];
}

/** A hose is named where it is that likely, and called in step where it is that unlikely. How often that is right: bench/stock/truth.ts. */
const NAMED = 0.7;
const IN_STEP = 0.05;
/** Alternatives are listed until they hold so much together, if they are not more than so many. */
const TOGETHER = 0.95;
const MOST_ALTERNATIVES = 4;

/** Which hoses count otherwise than the tank's others, where the readings part the models 'none drifts', 'this one' and 'these two'. */
export function judgeDrifts(model: Pick<TankModel, 'drifts' | 'freedom' | 'meters'>): MetersJudged {
  const t = tQuantile(0.975, model.freedom);
  const names = model.meters.hoses;
  const models = driftModels(model.meters);
  const chances = names.map((_, i) => models.reduce((sum, m) => sum + (m.drifting.includes(i) ? m.chance : 0), 0));
  const hoses = model.drifts.map(({ hose, relative, deviation }): DriftJudged => {
    const chance = chances[names.indexOf(hose)];
    if (relative === null || deviation === null || chance === undefined)
      return { hose, relative, margin: null, chance: null, verdict: 'cannot be told apart' };
    const verdict = chance >= NAMED ? 'drifts' : chance <= IN_STEP ? 'in step' : 'cannot be told apart';
    return { hose, relative, margin: t * deviation, chance, verdict };
  });
  // With one hose a drift is a chart out of scale too.
  const apart = hoses.some((h) => h.chance !== null);
  return { hoses, oneOf: apart ? alternatives(models, names) : [] };
}

/** The likeliest models that something drifts, until little is left beside them; none where nothing may drift, one is sure, or it could be anything. */
function alternatives(models: readonly DriftModel[], names: readonly string[]): MetersJudged['oneOf'] {
  const listed: { hoses: string[]; chance: number }[] = [];
  let sum = 0;
  for (const { drifting, chance } of models) {
    if (sum >= TOGETHER) break;
    if (drifting.length === 0 && chance > IN_STEP) return [];
    sum += chance;
    if (drifting.length > 0) listed.push({ hoses: drifting.map((i) => names[i] as string), chance });
  }
  return listed.length > 1 && listed.length <= MOST_ALTERNATIVES ? listed : [];
}
