import { CholeskyDecomposition, EigenvalueDecomposition, Matrix } from 'ml-matrix';

/**
 * Least squares by sums over the rows (the normal equations), for thousands of rows and few columns: one pass a round, where a QR
 * decomposition walks all rows once a column. Squaring the condition number is paid for by scaling each column by what is known of it
 * beforehand, which is also what keeps the sums solvable. Agrees with `leastSquares` (QR): prior-fit.test.ts.
 */
export interface Sums {
  /** Columns by columns. */
  readonly gram: Float64Array;
  readonly moment: Float64Array;
  readonly width: number;
}

/** `design` has the columns one after another, `weight` what each row counts (one over its variance). */
export function sumsOf(design: Float64Array, width: number, y: Float64Array, weight: Float64Array): Sums {
  const n = y.length;
  const gram = new Float64Array(width * width);
  const moment = new Float64Array(width);
  const [one, two] = [new Float64Array(n), new Float64Array(n)];
  const start = (column: number) => Math.min(column, width - 1) * n;
  // Two columns against four at a time: a sum waits for its last addition, eight do not wait for each other. Beyond the last column the
  // last one stands in, and is left out.
  for (let j = 0; j < width; j += 2) {
    moment[j] = weighed(design, start(j), weight, y, one);
    if (j + 1 < width) moment[j + 1] = weighed(design, start(j + 1), weight, y, two);
    for (let k = 0; k <= j + 1; k += 4) {
      const [a, b, c, d] = [start(k), start(k + 1), start(k + 2), start(k + 3)];
      let [a1, b1, c1, d1, a2, b2, c2, d2] = [0, 0, 0, 0, 0, 0, 0, 0];
      for (let i = 0; i < n; i++) {
        const u = one[i] as number;
        const v = two[i] as number;
        const p = design[a + i] as number;
        const q = design[b + i] as number;
        const r = design[c + i] as number;
        const s = design[d + i] as number;
        a1 += u * p;
        b1 += u * q;
        c1 += u * r;
        d1 += u * s;
        a2 += v * p;
        b2 += v * q;
        c2 += v * r;
        d2 += v * s;
      }
      const left = width - k;
      gram.set([a1, b1, c1, d1].slice(0, left), j * width + k);
      if (j + 1 < width) gram.set([a2, b2, c2, d2].slice(0, left), (j + 1) * width + k);
    }
  }
  for (let j = 0; j < width; j++)
    for (let k = j + 1; k < width; k++) gram[j * width + k] = gram[k * width + j] as number;
  return { gram, moment, width };
}

/** Writes a column times its weights into `out`; that times y. */
function weighed(design: Float64Array, at: number, weight: Float64Array, y: Float64Array, out: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < out.length; i++) {
    const x = (weight[i] as number) * (design[at + i] as number);
    out[i] = x;
    sum += x * (y[i] as number);
  }
  return sum;
}

export interface PriorFit {
  readonly coefficients: readonly number[];
  /** Covariance of the coefficients. */
  readonly spread: readonly Float64Array[];
  /** Of what the rows alone say, each column scaled by what was known of it: the smallest singular value, and its direction. */
  readonly weakest: { readonly value: number; readonly direction: readonly number[] };
}

/** An eigenvalue below this part of the largest is rounding and nothing else. */
const ROUNDING = 1e-13;

/** The sums with each column scaled by what is known of it beforehand; undefined where a column is nothing. */
function scaled(
  { gram, width }: Sums,
  before: readonly (number | null)[],
): { rows: Matrix; scale: readonly number[] } | undefined {
  const sizes = before.map((b, j) => (b ?? 0) ** 2 * (gram[j * width + j] as number));
  // Of what nothing is known is supposed to be as large as the rows could tell of anything.
  const widest = Math.max(1, ...sizes);
  const scale = before.map((b, j) => b ?? Math.sqrt(widest / (gram[j * width + j] as number)));
  if (!scale.every((s) => Number.isFinite(s) && s > 0)) return undefined;
  const rows = Matrix.zeros(width, width);
  for (let j = 0; j < width; j++)
    for (let k = 0; k < width; k++)
      rows.set(j, k, (gram[j * width + k] as number) * ((scale[j] as number) * (scale[k] as number)));
  return { rows, scale };
}

const addKnown = (rows: Matrix, before: readonly (number | null)[]): void => {
  for (const [j, b] of before.entries()) if (b !== null) rows.set(j, j, rows.get(j, j) + 1);
};

/** The coefficients of `priorFit` and nothing else, for a round on the way to it. */
export function priorSolve(sums: Sums, before: readonly (number | null)[]): readonly number[] | undefined {
  const made = scaled(sums, before);
  if (!made) return undefined;
  addKnown(made.rows, before);
  const parts = new CholeskyDecomposition(made.rows);
  if (!parts.isPositiveDefinite()) return undefined;
  const target = Matrix.columnVector(made.scale.map((s, j) => s * (sums.moment[j] as number)));
  return parts
    .solve(target)
    .to1DArray()
    .map((c, j) => c * (made.scale[j] as number));
}

/**
 * Solves the sums with what was known of each coefficient beforehand, as standard deviations about nothing; null for nothing known.
 * Undefined where the columns are not independent.
 */
export function priorFit(sums: Sums, before: readonly (number | null)[]): PriorFit | undefined {
  const made = scaled(sums, before);
  if (!made) return undefined;
  const { rows, scale } = made;
  const alone = new EigenvalueDecomposition(rows, { assumeSymmetric: true });
  const weakest = alone.realEigenvalues.indexOf(Math.min(...alone.realEigenvalues));
  addKnown(rows, before);
  const whole = new EigenvalueDecomposition(rows, { assumeSymmetric: true });
  const values = whole.realEigenvalues;
  if (!(Math.min(...values) > Math.max(...values) * ROUNDING)) return undefined;
  const v = whole.eigenvectorMatrix;
  const spread = scale.map((a, i) =>
    Float64Array.from(scale, (b, j) => {
      let sum = 0;
      for (const [k, value] of values.entries()) sum += (v.get(i, k) * v.get(j, k)) / value;
      return sum * a * b;
    }),
  );
  return {
    coefficients: spread.map((row) => row.reduce((sum, s, j) => sum + s * (sums.moment[j] as number), 0)),
    spread,
    weakest: {
      value: Math.sqrt(Math.max(0, alone.realEigenvalues[weakest] as number)),
      direction: alone.eigenvectorMatrix.getColumn(weakest),
    },
  };
}
