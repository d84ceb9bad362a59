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
  const weighted = new Float64Array(n);
  for (let j = 0; j < width; j++) {
    const own = j * n;
    let sum = 0;
    for (let i = 0; i < n; i++) {
      const x = (weight[i] as number) * (design[own + i] as number);
      weighted[i] = x;
      sum += x * (y[i] as number);
    }
    moment[j] = sum;
    // Four columns at a time: a sum waits for its last addition, four do not wait for each other.
    let k = 0;
    for (; k + 3 <= j; k += 4) {
      const [a, b, c, d] = [k * n, (k + 1) * n, (k + 2) * n, (k + 3) * n];
      let [p, q, r, s] = [0, 0, 0, 0];
      for (let i = 0; i < n; i++) {
        const x = weighted[i] as number;
        p += x * (design[a + i] as number);
        q += x * (design[b + i] as number);
        r += x * (design[c + i] as number);
        s += x * (design[d + i] as number);
      }
      gram.set([p, q, r, s], j * width + k);
    }
    for (; k <= j; k++) {
      const at = k * n;
      let p = 0;
      for (let i = 0; i < n; i++) p += (weighted[i] as number) * (design[at + i] as number);
      gram[j * width + k] = p;
    }
  }
  for (let j = 0; j < width; j++)
    for (let k = j + 1; k < width; k++) gram[j * width + k] = gram[k * width + j] as number;
  return { gram, moment, width };
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
