import { describe, expect, it } from 'vitest';
import { seeded } from '../../test/small-world.ts';
import { litresAt, type TankShape } from '../metering/index.ts';
import { type DrawnDown, fitChart } from './chart-fit.ts';
import { lyingBody } from './domain.ts';

const flat = { kind: 'flat' } as const;
/** Half a metre of fall over eight: 3.6 degrees would be 500 mm; the steepest that the geometry takes is a twentieth of the length. */
const tilted: TankShape = {
  kind: 'lying cylinder',
  diameterMm: 2_500,
  lengthMm: 8_000,
  near: flat,
  far: flat,
  tilt: { fallMm: 120, gaugeMm: 600 },
};
const body = lyingBody((Math.PI * 1_250 ** 2 * 8_000) / 1e6, 2_500);
const truth = (mm: number) => {
  const at = litresAt(tilted, mm);
  if (!at.ok) throw new Error(at.error.cause);
  return at.value;
};

function run(seed: number, noiseMm: number, top = 2_200, bottom = 500): DrawnDown[] {
  const random = seeded(seed);
  const rows: DrawnDown[] = [];
  for (let mm = top; mm > bottom; mm -= 6)
    rows.push({
      levelMm: mm + noiseMm * (random() + random() + random() - 1.5) * 2,
      drawnLitres: truth(top) - truth(mm),
    });
  return rows;
}

describe('a chart from readings and metered sales', () => {
  it('finds a tilted tank’s own chart within its interval, against numerical integration of the body', () => {
    const chart = fitChart(body, [run(1, 1), run(2, 1), run(3, 1)], 0);
    if (!chart) throw new Error('no chart');
    let inside = 0;
    const pairs = [
      [600, 900],
      [900, 1_200],
      [1_200, 1_500],
      [1_500, 1_800],
      [600, 2_100],
    ] as const;
    for (const [low, high] of pairs) {
      const found = chart.between(low, high);
      const right = truth(high) - truth(low);
      expect(Math.abs((found?.litres ?? 0) - right)).toBeLessThan(0.004 * right);
      if (Math.abs((found?.litres ?? 0) - right) <= (found?.margin ?? 0)) inside++;
    }
    expect(inside).toBeGreaterThanOrEqual(4);
    expect(chart.residualMm).toBeGreaterThan(0.7);
    expect(chart.residualMm).toBeLessThan(1.5);
  });
  it('is no surer than the meters are, and says nothing of levels that nobody saw', () => {
    const chart = fitChart(body, [run(1, 1)], 0.003);
    const found = chart?.between(600, 2_100);
    expect((found?.margin ?? 0) / (found?.litres ?? 1)).toBeGreaterThan(0.0058);
    expect(chart?.between(100, 600)).toBeUndefined();
  });
  it('cannot be told apart from too little', () => {
    expect(fitChart(body, [run(1, 1).slice(0, 30)], 0)).toBeUndefined();
    expect(fitChart(body, [run(1, 1, 1_400, 1_000)], 0)).toBeUndefined();
  });
});
