import { describe, expect, it } from 'vitest';
import { seeded } from '../../test/small-world.ts';
import { leastSquares } from './least-squares.ts';
import { priorFit, priorSolve, sumsOf } from './prior-fit.ts';

/** The same system as columns with rows of prior knowledge below them, by QR. */
function byQr(columns: number[][], y: number[], weight: number[], before: (number | null)[]) {
  const known = before.flatMap((b, j) => (b === null ? [] : [{ j, b }]));
  const design = columns.map((c, j) =>
    Float64Array.from([
      ...c.map((v, i) => v * Math.sqrt(weight[i] as number)),
      ...known.map((k) => (k.j === j ? 1 / k.b : 0)),
    ]),
  );
  const target = Float64Array.from([...y.map((v, i) => v * Math.sqrt(weight[i] as number)), ...known.map(() => 0)]);
  return leastSquares(design, target);
}

describe('least squares by sums, with what was known before', () => {
  it('agrees with QR of the same rows, of systems that are nearly confused without what was known', () => {
    for (let seed = 1; seed <= 40; seed++) {
      const random = seeded(seed);
      const rows = 300;
      const first = Array.from({ length: rows }, (_, i) => i / 7);
      const columns = [
        first.map(() => 1),
        first,
        first.map((v) => 1_000 * v + random()),
        first.map((v) => Math.sin(v / 9) * 20_000),
        first.map((_, i) => (i > 120 ? 17_000 : 0)),
      ];
      const before = [null, null, 0.005, 0.01, seed % 2 === 0 ? 0.05 : null];
      const weight = first.map(() => 0.001 + random());
      const y = first.map((v) => 40 + 3 * v + 30 * (random() - 0.5));
      const design = Float64Array.from(
        { length: rows * 5 },
        (_, n) => columns[Math.floor(n / rows)]?.[n % rows] as number,
      );
      const ours = priorFit(sumsOf(design, 5, Float64Array.from(y), Float64Array.from(weight)), before);
      const qr = byQr(columns, y, weight, before);
      if (!ours || !qr) throw new Error('no fit');
      const quick = priorSolve(sumsOf(design, 5, Float64Array.from(y), Float64Array.from(weight)), before);
      for (let j = 0; j < 5; j++) {
        expect(quick?.[j]).toBeCloseTo(ours.coefficients[j] as number, 6);
        const error = Math.sqrt(qr.spread[j]?.[j] as number);
        expect(Math.abs((ours.coefficients[j] as number) - (qr.coefficients[j] as number)) / error).toBeLessThan(1e-5);
        expect(Math.sqrt(ours.spread[j]?.[j] as number) / error).toBeCloseTo(1, 6);
      }
    }
  });
  it('has no answer for a column twice of which nothing is known, and names both', () => {
    const x = Float64Array.from({ length: 40 }, (_, i) => i);
    const twice = Float64Array.from({ length: 120 }, (_, n) => (n < 40 ? 1 : (n < 80 ? 1 : 2) * (x[n % 40] as number)));
    const sums = sumsOf(twice, 3, x, new Float64Array(40).fill(1));
    expect(priorFit(sums, [null, null, null])).toBeUndefined();
    const known = priorFit(sums, [null, 1, 1]);
    expect(known?.weakest.value).toBeLessThan(1e-4);
    expect(Math.abs(known?.weakest.direction[1] ?? 0)).toBeCloseTo(2 / Math.sqrt(5), 3);
    // What was known shares it out: y = x = b1 x + 2 b2 x, with b1 and b2 supposed alike.
    expect(known?.coefficients[1]).toBeCloseTo(0.2, 2);
    expect(known?.coefficients[2]).toBeCloseTo(0.4, 2);
  });
});
