import { inverse, Matrix } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { seeded } from '../../test/small-world.ts';
import { foretelling, gaugeError, mayErrAlike, surprises } from './gauge-error.ts';

/** Normal numbers by Box and Muller. */
const normals = (seed: number) => {
  const random = seeded(seed);
  return () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
};

/** Rows at uneven times with a part that wanders, both by their definition. */
function errors(seed: number, rows: number, shared: number, fade: number, whole: number) {
  const [random, normal] = [seeded(seed + 1000), normals(seed)];
  const hours = new Float64Array(rows);
  const left = new Float64Array(rows);
  let [at, wander] = [0, normal()];
  for (let i = 0; i < rows; i++) {
    const step = random() < 0.3 ? 0.03 : 0.6 * random();
    at += step;
    const keep = Math.exp(-step / fade);
    wander = keep * wander + Math.sqrt(1 - keep * keep) * normal();
    hours[i] = at;
    left[i] = whole * (Math.sqrt(shared) * wander + Math.sqrt(1 - shared) * normal());
  }
  return { hours, left, none: new Float64Array(rows) };
}

describe('a gauge whose readings err alike', () => {
  it('surprises are what the whole covariance says: the same squares and the same determinant', () => {
    const { hours, left } = errors(1, 40, 0.7, 2, 1);
    const extra = Float64Array.from(hours, (_, i) => (i % 7 === 0 ? 3 : 0));
    const cov = new Matrix(
      [...hours].map((a, i) =>
        [...hours].map((b, j) => 0.7 * Math.exp(-Math.abs(a - b) / 2) + (i === j ? 0.3 + (extra[i] as number) : 0)),
      ),
    );
    const x = Matrix.columnVector(left);
    const squares = x.transpose().mmul(inverse(cov)).mmul(x).get(0, 0);
    const told = foretelling({ shared: 0.7, hours: 2 }, hours, extra);
    // Two columns of the same at once, to see that each is filtered for itself.
    const both = Float64Array.from([...left, ...left]);
    surprises(told, both);
    for (const half of [both.slice(0, 40), both.slice(40)])
      expect(half.reduce((sum, z) => sum + z * z, 0)).toBeCloseTo(squares, 8);
    const logs = told.deviation.reduce((sum, d) => sum + 2 * Math.log(d), 0);
    const lower = logDeterminant(cov);
    expect(logs).toBeCloseTo(lower, 8);
  });

  it('finds how much wanders and for how long, and nothing where nothing does', () => {
    for (const [shared, fade] of [
      [0.9, 5],
      [0.5, 5],
      [0.8, 1],
    ] as const) {
      const { hours, left, none } = errors(3, 2_500, shared, fade, 1.3);
      const found = gaugeError(left, hours, none);
      expect(Math.abs(found.shared - shared)).toBeLessThan(0.12);
      expect(Math.abs(Math.log(found.hours / fade))).toBeLessThan(0.6);
      expect(Math.abs(found.wholeMm - 1.3)).toBeLessThan(0.2);
      expect(mayErrAlike(left)).toBe(true);
    }
    let may = 0;
    for (let seed = 10; seed < 40; seed++) {
      const { hours, left, none } = errors(seed, 2_500, 0, 1, 1);
      if (mayErrAlike(left)) may++;
      expect(gaugeError(left, hours, none).shared).toBe(0);
    }
    expect(may).toBe(0);
  });
});

/** Logarithm of the determinant, by elimination. */
function logDeterminant(m: Matrix): number {
  const a = m.to2DArray();
  let log = 0;
  for (let k = 0; k < a.length; k++) {
    const pivot = a[k]?.[k] as number;
    log += Math.log(pivot);
    for (let i = k + 1; i < a.length; i++) {
      const f = (a[i]?.[k] as number) / pivot;
      for (let j = k; j < a.length; j++) (a[i] as number[])[j] = (a[i]?.[j] as number) - f * (a[k]?.[j] as number);
    }
  }
  return log;
}
