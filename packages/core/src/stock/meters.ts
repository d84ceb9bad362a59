import { determinant, inverse, Matrix } from 'ml-matrix';
import type { TankFit } from './tank-fit.ts';

/** What the readings alone say of a tank's meters together, whatever chart, bills and temperature may be. */
export interface Meters {
  readonly hoses: readonly string[];
  /** Inverse covariance of the drifts, and that times the drifts that fit best. */
  readonly information: readonly (readonly number[])[];
  readonly towards: readonly number[];
}

export function metersOf({ columns: { parts, before }, coefficients, spread, widened }: TankFit): Meters {
  const at = parts.flatMap((p, j) => (p.kind === 'hose' ? [j] : []));
  const hoses = at.map((j) => (parts[j] as { hose: string }).hose);
  if (at.length === 0) return { hoses, information: [], towards: [] };
  const known = inverse(new Matrix(at.map((i) => at.map((j) => spread[i]?.[j] as number))));
  const towards = known.mmul(Matrix.columnVector(at.map((j) => coefficients[j] as number)));
  // What was supposed of the meters comes off again: the hypotheses have suppositions of their own.
  for (const [k, j] of at.entries()) known.set(k, k, known.get(k, k) - 1 / (before[j] as number) ** 2);
  const fewer = 1 / (widened * widened);
  return { hoses, information: known.mul(fewer).to2DArray(), towards: towards.mul(fewer).to1DArray() };
}

/** Meters in step agree within this, as a standard deviation, and one that drifts is off by so much. Common practice, no source. */
const IN_STEP = 0.0007;
const DRIFTED = 0.006;
/** How likely it is beforehand that no meter drifts, that one does, and that two do. Common practice, no source. */
const NONE = 0.5;
const ONE = 0.4;
const TWO = 0.1;

/** That these hoses drift and no other does; places in the list of hoses. */
export interface DriftModel {
  readonly drifting: readonly number[];
  readonly chance: number;
}

/**
 * How likely each model is, given that at most two meters drift: 'none', 'hose i', 'hoses i and j', by their evidence, with drifts supposed
 * to be normal (D. J. C. MacKay, 'Bayesian interpolation', Neural Computation 4, 1992). Likeliest first; the chances add up to 1.
 * Comparing models sees more than comparing meters one by one: a meter that gives more shows in the bills too, against one that gives less.
 */
export function driftModels(meters: Meters): DriftModel[] {
  const hoses = meters.towards.length;
  const pairs = (hoses * (hoses - 1)) / 2;
  const models: { drifting: number[]; log: number }[] = [];
  const weigh = (drifting: number[], before: number) =>
    models.push({ drifting, log: evidence(meters, drifting) + Math.log(before) });
  weigh([], NONE);
  for (let i = 0; i < hoses; i++) {
    weigh([i], (pairs === 0 ? ONE + TWO : ONE) / hoses);
    for (let j = i + 1; j < hoses; j++) weigh([i, j], TWO / pairs);
  }
  const most = Math.max(...models.map((m) => m.log));
  const weights = models.map((m) => Math.exp(m.log - most));
  const sum = weights.reduce((all, w) => all + w, 0);
  return models
    .map(({ drifting }, m) => ({ drifting, chance: (weights[m] as number) / sum }))
    .sort((a, b) => b.chance - a.chance);
}

/** Logarithm of how likely the readings are where these hoses drift, but for what all models share. */
function evidence({ information, towards }: Meters, drifting: readonly number[]): number {
  if (towards.length === 0) return 0;
  const supposed = towards.map((_, i) => IN_STEP ** 2 + (drifting.includes(i) ? DRIFTED ** 2 : 0));
  // I + D L, with the supposed variances D and the information L.
  const whole = new Matrix(
    information.map((row, i) => row.map((v, j) => v * (supposed[i] as number) + (i === j ? 1 : 0))),
  );
  const fit = inverse(whole).mmul(Matrix.columnVector(towards.map((t, i) => t * (supposed[i] as number))));
  const fits = towards.reduce((sum, t, i) => sum + t * fit.get(i, 0), 0);
  return fits / 2 - Math.log(determinant(whole)) / 2;
}
