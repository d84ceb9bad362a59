import tQuantile from '@stdlib/stats-base-dists-t-quantile';
import { type Body, chartWalk, depthOf } from './domain.ts';
import { leastSquares, varianceOf } from './least-squares.ts';

/** A draw-down of a tank: levels at rest with what the meters have given in between. Nothing may be delivered meanwhile. */
export interface DrawnDown {
  readonly levelMm: number;
  /** Metered since the first of the list, litres, at the tank's temperature. */
  readonly drawnLitres: number;
}

export interface FittedChart {
  /** Litres between two levels by the fit, with its 95 % interval; levels within those of the readings. Undefined outside. */
  readonly between: (lowMm: number, highMm: number) => { readonly litres: number; readonly margin: number } | undefined;
  readonly lowestMm: number;
  readonly highestMm: number;
  readonly residualMm: number;
}

const TERMS = 6;
const LEAST = 40;

/**
 * The chart between the levels that were seen, from readings and metered sales: litres = c + sum of six Chebyshev polynomials of
 * the level, by least squares. Its scale is the meters' scale: a meter that gives 0.3 % more makes a chart 0.3 % too
 * small, and nothing here can tell; it adds up to the interval only where `meterError` (a part, as a standard deviation) says so. What lies
 * outside the levels seen is not told. `sigmaMm` is not asked for: it comes from the residuals.
 * Undefined: 'cannot be told apart', for fewer than 40 readings, or levels that span less than a fifth of the diameter.
 */
export function fitChart(
  body: Body,
  runs: readonly (readonly DrawnDown[])[],
  meterError: number,
): FittedChart | undefined {
  const rows = runs.flatMap((run, r) => run.map((d) => ({ ...d, r })));
  const levels = rows.map((d) => d.levelMm);
  const [lowestMm, highestMm] = [Math.min(...levels), Math.max(...levels)];
  if (rows.length < LEAST || !(highestMm - lowestMm > depthOf(body) / 5)) return undefined;
  const at = (mm: number) => {
    const x = Math.min(1, Math.max(-1, (2 * (mm - lowestMm)) / (highestMm - lowestMm) - 1));
    return Array.from({ length: TERMS }, (_, k) => Math.cos((k + 1) * Math.acos(x)));
  };
  // Noise is of the level, so a row counts by the litres that a millimetre is at it.
  const perMm = levels.map(chartWalk(body).litresPerMm);
  const weight = perMm.map((l) => 1 / l);
  const terms = rows.map((d) => at(d.levelMm));
  const columns = [
    ...runs.map((_, r) => Float64Array.from(rows, (d, i) => (d.r === r ? (weight[i] as number) : 0))),
    ...Array.from({ length: TERMS }, (_, k) =>
      Float64Array.from(rows, (_d, i) => (terms[i]?.[k] as number) * (weight[i] as number)),
    ),
  ];
  const solved = leastSquares(
    columns,
    Float64Array.from(rows, (d, i) => -d.drawnLitres * (weight[i] as number)),
  );
  if (!solved || solved.freedom < 1) return undefined;
  const t = tQuantile(0.975, solved.freedom);
  return {
    lowestMm,
    highestMm,
    residualMm: solved.deviation,
    between: (lowMm, highMm) => {
      if (!(lowMm >= lowestMm && highMm <= highestMm && lowMm < highMm)) return undefined;
      const [low, high] = [at(lowMm), at(highMm)];
      const weights = [...runs.map(() => 0), ...high.map((h, k) => h - (low[k] as number))];
      const litres = weights.reduce((sum, w, j) => sum + w * (solved.coefficients[j] as number), 0);
      const own = t * solved.deviation * Math.sqrt(varianceOf(solved.spread, weights));
      return { litres, margin: Math.hypot(own, 1.96 * meterError * litres) };
    },
  };
}
