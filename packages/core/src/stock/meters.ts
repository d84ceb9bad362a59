import { determinant, inverse, Matrix } from 'ml-matrix';
import type { Columns } from './tank-columns.ts';
import type { TankFit } from './tank-fit.ts';

/** What the readings alone say of a tank's meters together, whatever chart, bills and temperature may be. */
export interface Meters {
  readonly hoses: readonly string[];
  /** Inverse covariance of the drifts, and that times the drifts that fit best. */
  readonly information: readonly (readonly number[])[];
  readonly towards: readonly number[];
}

export function metersOf({ parts, before }: Columns, { coefficients, spread, widened }: TankFit): Meters {
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
/** That no meter drifts is as likely beforehand as that one of them does. */
const NONE = 0.5;

/**
 * How likely it is of each hose that it, and it alone, drifts, given that at most one does: the evidence of each model, 'none' and 'hose i',
 * with drifts supposed to be normal (D. J. C. MacKay, 'Bayesian interpolation', Neural Computation 4, 1992). Adds up to 1 with that of none.
 * Comparing models sees more than comparing meters one by one: a meter that gives more shows in the bills too, against one that gives less.
 */
export function driftChances({ information, towards }: Meters): number[] {
  const k = towards.length;
  if (k === 0) return [];
  const logOf = (drifting: number): number => {
    const supposed = towards.map((_, i) => IN_STEP ** 2 + (i === drifting ? DRIFTED ** 2 : 0));
    // I + D L, with the supposed variances D and the information L.
    const whole = new Matrix(
      information.map((row, i) => row.map((v, j) => v * (supposed[i] as number) + (i === j ? 1 : 0))),
    );
    const fit = inverse(whole).mmul(Matrix.columnVector(towards.map((t, i) => t * (supposed[i] as number))));
    const fits = towards.reduce((sum, t, i) => sum + t * fit.get(i, 0), 0);
    return fits / 2 - Math.log(determinant(whole)) / 2 + Math.log(drifting < 0 ? NONE : (1 - NONE) / k);
  };
  const logs = [-1, ...towards.keys()].map(logOf);
  const most = Math.max(...logs);
  const weights = logs.map((l) => Math.exp(l - most));
  const sum = weights.reduce((all, w) => all + w, 0);
  return weights.slice(1).map((w) => w / sum);
}
