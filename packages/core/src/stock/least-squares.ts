import { Matrix, QrDecomposition, SingularValueDecomposition } from 'ml-matrix';

/** A linear model, y = sum of column times coefficient, solved by least squares. */
export interface Solved {
  readonly coefficients: readonly number[];
  /** Standard error of each coefficient: the residual deviation times the root of its variance factor. */
  readonly errors: readonly number[];
  /** (X'X)^-1: times the deviation squared it is the covariance of the coefficients. */
  readonly spread: readonly Float64Array[];
  readonly residuals: Float64Array;
  /** Residual standard deviation, sqrt(RSS / (rows - columns)); 0 where no degree of freedom is left. */
  readonly deviation: number;
  readonly freedom: number;
  /** Largest over smallest singular value of the columns, each scaled to length 1. */
  readonly condition: number;
}

/** A direction whose singular value is below this part of the largest is rounding and nothing else. */
const ROUNDING = 1e-13;

/** Columns scaled to length 1; a column of nothing has length 0. */
function scaledMatrix(columns: readonly Float64Array[], rows: number): { matrix: Matrix; length: number[] } {
  const length = columns.map(norm);
  const matrix = Matrix.zeros(rows, columns.length);
  for (const [j, column] of columns.entries()) {
    const by = length[j] || 1;
    for (let i = 0; i < rows; i++) matrix.set(i, j, (column[i] as number) / by);
  }
  return { matrix, length };
}

const norm = (column: Float64Array): number => Math.sqrt(column.reduce((sum, x) => sum + x * x, 0));

/**
 * Ordinary least squares by Householder QR of the scaled columns, with the singular values of R as the check of rank. Checked against
 * NIST StRD Norris, Pontius and Longley. Undefined where the columns are not independent or there are fewer rows than columns.
 */
export function leastSquares(columns: readonly Float64Array[], y: Float64Array): Solved | undefined {
  const [rows, p] = [y.length, columns.length];
  if (rows < p || p === 0) return undefined;
  const { matrix, length } = scaledMatrix(columns, rows);
  if (length.some((l) => l === 0)) return undefined;
  const qr = new QrDecomposition(matrix);
  const svd = new SingularValueDecomposition(qr.upperTriangularMatrix);
  const singular = svd.diagonal;
  const [most, least] = [Math.max(...singular), Math.min(...singular)];
  if (!(least > most * ROUNDING)) return undefined;
  const scaled = qr.solve(Matrix.columnVector(y)).to1DArray();
  const coefficients = scaled.map((c, j) => c / (length[j] as number));
  const residuals = Float64Array.from(y);
  for (const [j, column] of columns.entries()) {
    const c = coefficients[j] as number;
    for (let i = 0; i < rows; i++) residuals[i] = (residuals[i] as number) - (column[i] as number) * c;
  }
  const spread = spreadOf(svd, length);
  const freedom = rows - p;
  const deviation = freedom > 0 ? norm(residuals) / Math.sqrt(freedom) : 0;
  return {
    coefficients,
    errors: spread.map((row, j) => deviation * Math.sqrt(row[j] as number)),
    spread,
    residuals,
    deviation,
    freedom,
    condition: most / least,
  };
}

/** (X'X)^-1 = V s^-2 V', taken back to the columns' own lengths. */
function spreadOf(svd: SingularValueDecomposition, length: readonly number[]): Float64Array[] {
  const v = svd.rightSingularVectors;
  const s = svd.diagonal;
  return length.map((a, i) =>
    Float64Array.from(length, (b, j) => {
      let sum = 0;
      for (const [k, value] of s.entries()) sum += (v.get(i, k) * v.get(j, k)) / (value * value);
      return sum / (a * b);
    }),
  );
}

/**
 * How much of a combination of coefficients the rows determine: its variance factor, w' (X'X)^-1 w. The square root times the
 * deviation is its standard error.
 */
export function varianceOf(spread: readonly Float64Array[], weights: readonly number[]): number {
  let sum = 0;
  for (const [i, a] of weights.entries())
    if (a !== 0) for (const [j, b] of weights.entries()) if (b !== 0) sum += a * b * (spread[i]?.[j] as number);
  return sum;
}
