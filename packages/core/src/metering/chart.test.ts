import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Problem, Result } from '../errors/index.ts';
import { chartOf, chartOfShape, dipAtVolume, type Gauge, roomAtDip, volumeAtDip } from './chart.ts';
import { LITRES_PER_GALLON, litresAt, MM_PER_INCH, type TankShape } from './tank-shape.ts';

function value<T>(result: Result<T, Problem | readonly Problem[]>): T {
  if (result.ok) return result.value;
  throw new Error(JSON.stringify(result.error));
}
const code = (result: Result<unknown, Problem>): string => (result.ok ? 'ok' : result.error.code);

const flat = { kind: 'flat' } as const;
const tank: TankShape = {
  kind: 'lying cylinder',
  diameterMm: 96 * MM_PER_INCH,
  lengthMm: 318 * MM_PER_INCH,
  near: flat,
  far: flat,
};

describe('a strapping table', () => {
  const rows = [
    { dip: 0, volume: 0 },
    { dip: 10, volume: 400 },
    { dip: 20, volume: 1000 },
    { dip: 30, volume: 1300 },
  ];
  const gauge: Gauge = { by: 'chart', chart: value(chartOf(rows, 'in', 'gal')) };

  it('gives its points exactly and straight lines between them', () => {
    for (const { dip, volume } of rows) {
      expect(value(volumeAtDip(gauge, dip * MM_PER_INCH))).toBe(volume * LITRES_PER_GALLON);
      expect(value(dipAtVolume(gauge, volume * LITRES_PER_GALLON))).toBe(dip * MM_PER_INCH);
    }
    expect(value(volumeAtDip(gauge, 15 * MM_PER_INCH))).toBeCloseTo(700 * LITRES_PER_GALLON, 8);
    expect(value(dipAtVolume(gauge, 1150 * LITRES_PER_GALLON))).toBeCloseTo(25 * MM_PER_INCH, 8);
    expect(value(volumeAtDip({ by: 'chart', chart: value(chartOf(rows, 'cm', 'l')) }, 250))).toBeCloseTo(1150, 8);
  });

  it('has no answer outside', () => {
    const high: Gauge = { by: 'chart', chart: value(chartOf(rows.slice(1), 'mm', 'l')) };
    for (const dip of [9.999, 30.001, -1, Number.NaN]) expect(code(volumeAtDip(high, dip))).toBe('FW-801');
    for (const litres of [399, 1301, Number.NaN]) expect(code(dipAtVolume(high, litres))).toBe('FW-801');
  });

  it('names every row that cannot be right', () => {
    const wrong = chartOf(
      [
        { dip: 0, volume: 0 },
        { dip: 10, volume: 50 },
        { dip: 10, volume: 60 },
        { dip: 20, volume: 55 },
        { dip: Number.NaN, volume: -1 },
      ],
      'mm',
      'l',
    );
    const found = wrong.ok ? [] : wrong.error.map((p) => [p.code, p.at?.row, p.at?.field]);
    expect(found).toEqual([
      ['FW-201', 3, 'dip'],
      ['FW-201', 4, 'volume'],
      ['FW-201', 5, 'dip'],
      ['FW-201', 5, 'volume'],
    ]);
    expect(chartOf([{ dip: 0, volume: 0 }], 'mm', 'l').ok).toBe(false);
  });

  it('made from a shape stays close to the shape', () => {
    const chart = value(chartOfShape(tank, 25));
    const byChart: Gauge = { by: 'chart', chart };
    fc.assert(
      fc.property(fc.double({ min: 0, max: 96 * MM_PER_INCH, noNaN: true }), (dip) => {
        const exact = value(litresAt(tank, dip));
        // A chord of the curve: it is off most in the first step, where the curve is steepest in its bend.
        expect(Math.abs(value(volumeAtDip(byChart, dip)) - exact)).toBeLessThan(17);
        if (dip > 100 && dip < 2300) expect(Math.abs(value(volumeAtDip(byChart, dip)) - exact)).toBeLessThan(3);
      }),
      { numRuns: 500, seed: 3 },
    );
    expect(code(chartOfShape(tank, 0))).toBe('FW-801');
  });
});

describe('room in a tank', () => {
  const gauge: Gauge = { by: 'shape', shape: tank };

  // Computed with an independent program: 96 x 318 in flat tank, 90 % and 95 % of 9,964.3159 gal.
  it.each([
    [90, 80.9783437, 8967.884],
    [95, 86.6584146, 9466.1],
  ])('safe fill at %d %% is a dip of %d in and %d gal', (percent, dipIn, gal) => {
    const room = value(roomAtDip(gauge, 48 * MM_PER_INCH, percent));
    expect(room.safeDipMm / MM_PER_INCH).toBeCloseTo(dipIn, 6);
    expect((room.litres + room.safeLitres) / LITRES_PER_GALLON).toBeCloseTo(gal, 3);
    expect(room.ullageLitres / LITRES_PER_GALLON).toBeCloseTo(4982.15795, 4);
  });

  it('says by how much a tank is over its safe fill', () => {
    expect(value(roomAtDip(gauge, 90 * MM_PER_INCH, 95)).safeLitres / LITRES_PER_GALLON).toBeCloseTo(-238.917, 2);
    for (const percent of [0, 95.1, 100, Number.NaN]) expect(code(roomAtDip(gauge, 100, percent))).toBe('FW-801');
  });

  it('finds the dip of any volume in any tank', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 96 * MM_PER_INCH, noNaN: true }), (dip) => {
        const litres = value(volumeAtDip(gauge, dip));
        expect(value(volumeAtDip(gauge, value(dipAtVolume(gauge, litres))))).toBeCloseTo(litres, 4);
      }),
      { numRuns: 100, seed: 4 },
    );
    expect(code(dipAtVolume(gauge, -1))).toBe('FW-801');
    expect(code(dipAtVolume(gauge, 40_000))).toBe('FW-801');
  });
});
