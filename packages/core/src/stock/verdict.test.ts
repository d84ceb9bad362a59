import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { leastSquares } from './least-squares.ts';
import { judge, judgeDrifts, MONTHLY_LIMIT } from './verdict.ts';

const leak = (value: number, deviation: number) => ({
  part: { kind: 'leak' } as const,
  value,
  deviation,
  before: null,
  told: true,
});

describe('the verdict on a tank', () => {
  it('is decided at half the limit, 0.1 gal/h', () => {
    expect(MONTHLY_LIMIT).toBeCloseTo(0.757082, 6);
    expect(judge({ leak: leak(0.37, 0.05), freedom: 1000 }).verdict).toBe('pass');
    expect(judge({ leak: leak(0.39, 0.05), freedom: 1000 }).verdict).toBe('fail');
    expect(judge({ leak: leak(-0.39, 0.05), freedom: 1000 })).toMatchObject({ verdict: 'inconclusive', why: 'gains' });
  });
  // EPA's standard test procedures, restated with t(.95, 23) = 1.713871527747 (computed): S 0.05 sees 2 t S = 0.171387 at best.
  it('states the least rate that could be seen', () => {
    const j = judge({ leak: leak(0, 0.05), freedom: 23 }, 0.2);
    expect(j.margin).toBeCloseTo(0.085694, 6);
    expect(j.leastSeen).toBeCloseTo(0.171387, 6);
    // The largest S that still meets 0.2 gal/h with the threshold 0.1 is 0.0583474.
    expect(judge({ leak: leak(0, 0.05834), freedom: 23 }, 0.2).verdict).toBe('pass');
    expect(judge({ leak: leak(0, 0.05836), freedom: 23 }, 0.2).verdict).toBe('inconclusive');
  });
  it('never passes what it could not see', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -5, max: 5, noNaN: true }),
        fc.double({ min: 1e-6, max: 5, noNaN: true }),
        fc.integer({ min: 1, max: 5000 }),
        (value, deviation, freedom) => {
          const j = judge({ leak: leak(value, deviation), freedom });
          if (j.verdict === 'pass') expect(j.leastSeen).toBeLessThanOrEqual(j.limit);
          if (j.verdict === 'pass') expect(Math.abs(j.rate)).toBeLessThanOrEqual(j.limit / 2);
          if (j.verdict === 'fail') expect(j.rate - j.margin).toBeGreaterThan(0);
        },
      ),
    );
  });
  // A falling level by the hour (our own data; slope and error computed with 50 digits).
  it('finds a leak in a level that nobody draws from', () => {
    const v = [5000, 4999.86, 4999.61, 4999.42, 4999.15, 4999.08, 4998.79, 4998.62, 4998.37, 4998.25, 4998.02, 4997.78];
    const s = leastSquares([new Float64Array(12).fill(1), Float64Array.from(v, (_, i) => i)], Float64Array.from(v));
    expect(s?.coefficients[1]).toBeCloseTo(-0.2015034965034746, 10);
    expect(s?.errors[1]).toBeCloseTo(0.003292473749761226, 10);
  });
});

describe('the verdict on meters', () => {
  /** Readings that know each of three drifts to `deviation`, apart from one another, and found these. */
  const meters = (found: readonly number[], deviation: number) => ({
    freedom: 900,
    drifts: found.map((f, i) => ({ hose: `h${i}`, relative: f, deviation, litres: 1 })),
    meters: {
      hoses: found.map((_, i) => `h${i}`),
      information: found.map((_, i) => found.map((_f, j) => (i === j ? deviation ** -2 : 0))),
      towards: found.map((f) => f / deviation ** 2),
    },
  });
  it('names the hose whose drift explains the readings, where they part it from the others', () => {
    const fine = judgeDrifts(meters([0.005, 0.0002, -0.0003], 0.0006));
    expect(fine.hoses.map((d) => d.verdict)).toEqual(['drifts', 'in step', 'in step']);
    expect(fine.hoses[0]?.chance).toBeGreaterThan(0.99);
    const coarse = judgeDrifts(meters([0.005, 0.0002, -0.0003], 0.004));
    expect(coarse.hoses.map((d) => d.verdict)).toEqual(Array(3).fill('cannot be told apart'));
    const none = judgeDrifts(meters([0.0003, 0.0002, -0.0003], 0.0004));
    expect(none.hoses.map((d) => d.verdict)).toEqual(Array(3).fill('in step'));
  });
  // By hand for one hose: N(0.003; 0, 0.001, 0.0007 and 0.006 together) against N(0.003; 0, 0.001 and 0.0007), as likely beforehand.
  it('weighs the models by their evidence', () => {
    const normal = (x: number, v: number) => Math.exp((-x * x) / (2 * v)) / Math.sqrt(2 * Math.PI * v);
    const [none, drifts] = [normal(0.003, 1.49e-6), normal(0.003, 3.749e-5)];
    const judged = judgeDrifts(meters([0.003], 0.001));
    expect(judged.hoses[0]?.chance).toBeCloseTo(drifts / (none + drifts), 10);
  });
  it('names two that drift, where the readings know each; with one deviation of doubt it says which it may be', () => {
    const both = judgeDrifts(meters([0.005, -0.004, 0.0002], 0.0004));
    expect(both.hoses.map((d) => d.verdict)).toEqual(['drifts', 'drifts', 'in step']);
    expect(both.oneOf).toEqual([]);
    expect(judgeDrifts(meters([0.005, 0.005, 0], 0.0004)).hoses.map((d) => d.verdict)).toEqual([
      'drifts',
      'drifts',
      'in step',
    ]);
  });
  it('where only differences are known, two that drift alike and the third the other way are listed as alternatives', () => {
    // The drift that all share is known to 0.4 %, differences to 0.02 %.
    const n = 3;
    const [common, apart] = [0.004 ** -2, 0.0002 ** -2];
    const information = [0, 1, 2].map((i) => [0, 1, 2].map((j) => (i === j ? apart : 0) + (common - apart) / n));
    const found = [0.003, 0.003, -0.002];
    const towards = information.map((row) => row.reduce((sum, v, j) => sum + v * (found[j] as number), 0));
    const model = { ...meters(found, 0.0004), meters: { hoses: ['h0', 'h1', 'h2'], information, towards } };
    const judged = judgeDrifts(model);
    const listed = judged.oneOf.map((o) => o.hoses.join());
    expect(listed).toContain('h2');
    expect(listed).toContain('h0,h1');
    expect(judged.oneOf.reduce((sum, o) => sum + o.chance, 0)).toBeGreaterThan(0.9);
  });
  it('one hose alone is never named', () => {
    const alone = meters([0.02], 0.0004);
    const drifts = [{ hose: 'h0', relative: null, deviation: null, litres: 1 }];
    expect(judgeDrifts({ ...alone, drifts }).hoses[0]).toMatchObject({ verdict: 'cannot be told apart', chance: null });
  });
});
