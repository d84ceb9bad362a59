import { DAY_MS } from './domain.ts';
import { type PriorFit, priorFit, sumsOf } from './prior-fit.ts';
import type { Still } from './still.ts';
import type { Columns } from './tank-columns.ts';

/** Huber's bend of the weights: 95 % efficiency with normal noise. */
const HUBER = 1.345;
const ROUNDS = 4;

export interface TankFit extends PriorFit {
  /** Standard deviation of what is left, mm of level. */
  readonly sigmaMm: number;
  readonly widened: number;
  /** What is left of each row, mm. */
  readonly left: Float64Array;
}

/**
 * Gauge less book as a sum of the columns, rows over the gauge's noise in litres; noise, weights and levels are found in turn. Rows far
 * off lose weight (P. J. Huber, 'Robust estimation of a location parameter', 1964). `level` is where each row stands to begin with; from
 * then on it is the gauge's word less what is left, so that a reading's own noise does not get into the columns that should explain it.
 */
export function fitTank(
  columns: Columns,
  y: Float64Array,
  rows: readonly Still[],
  level: Float64Array,
  capacityLitres: number,
): TankFit | undefined {
  const { design, perMm, before } = columns;
  const [n, width] = [y.length, before.length];
  let sigmaMm = 1;
  const off = new Float64Array(n).fill(1);
  const weight = new Float64Array(n);
  const left = new Float64Array(n);
  let fit: PriorFit | undefined;
  for (let round = 0; round < ROUNDS; round++) {
    columns.setLevel(level);
    for (let i = 0; i < n; i++) weight[i] = (off[i] as number) / (sigmaMm * (perMm[i] as number)) ** 2;
    fit = priorFit(sumsOf(design, width, y, weight), before);
    if (!fit) return undefined;
    for (let i = 0; i < n; i++) {
      let rest = y[i] as number;
      for (let j = 0; j < width; j++) rest -= (design[i * width + j] as number) * (fit.coefficients[j] as number);
      left[i] = rest / (perMm[i] as number);
      const held = (rows[i] as Still).litres - rest;
      if (held > 0 && held < capacityLitres) level[i] = held;
    }
    sigmaMm = spreadOfMiddle(left, n - width);
    for (let i = 0; i < n; i++) {
      const z = Math.abs(left[i] as number) / sigmaMm;
      off[i] = z <= HUBER ? 1 : HUBER / z;
    }
  }
  return fit && { ...fit, sigmaMm, widened: widening(left, sigmaMm, rows), left };
}

/** 1.4826 x the median of |left|, with the degrees of freedom that the columns have used. */
function spreadOfMiddle(left: Float64Array, freedom: number): number {
  const sorted = new Float64Array(left.length);
  for (let i = 0; i < left.length; i++) sorted[i] = Math.abs(left[i] as number);
  sorted.sort();
  const middle = 1.4826 * (sorted[sorted.length >> 1] as number);
  return Math.max(1e-6, middle * Math.sqrt(left.length / Math.max(1, freedom)));
}

/**
 * Noise that is free from reading to reading adds up over a day as the root of their number. Where it adds up to more, neighbours err alike
 * and there are fewer independent readings than rows: intervals grow by this factor (the idea of a cluster-robust error, by day).
 */
function widening(left: Float64Array, sigmaMm: number, rows: readonly Still[]): number {
  const sums = new Map<number, { sum: number; count: number }>();
  for (const [i, r] of rows.entries()) {
    const day = Math.floor(r.at / DAY_MS);
    const d = sums.get(day) ?? { sum: 0, count: 0 };
    // As the weights have it: a row far off counts no more than the bend.
    const z = Math.max(-3, Math.min(3, (left[i] as number) / sigmaMm));
    sums.set(day, { sum: d.sum + z, count: d.count + 1 });
  }
  let [found, expected] = [0, 0];
  for (const { sum, count } of sums.values()) {
    found += sum * sum;
    expected += count;
  }
  return Math.max(1, Math.sqrt(found / expected));
}
