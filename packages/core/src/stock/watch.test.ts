import { describe, expect, it } from 'vitest';
import { controlChart, cusum, waterRise } from './watch.ts';

describe('control chart', () => {
  // NIST/SEMATECH e-Handbook 6.3.2.3: mean 325, k 0.3175, h 4.1959; out at the 14th value. Data from memory.
  it('the worked example of the NIST handbook goes out at the fourteenth', () => {
    const x = [
      324.925, 324.675, 324.725, 324.35, 325.35, 325.225, 324.125, 324.525, 325.225, 324.6, 324.625, 325.15, 328.325,
      327.25, 327.825, 328.5, 326.675, 327.775, 326.875, 328.35,
    ];
    const chart = cusum(x, 325, 0.3175, 4.1959);
    expect(chart.findIndex((c) => c.out)).toBe(13);
    expect(chart[13]?.high).toBeCloseTo(4.94, 2);
  });
  const day = (i: number, over: number) => ({
    day: i,
    from: 0,
    to: 0,
    opening: 0,
    delivered: 0,
    drawn: 0,
    corrected: 0,
    book: 0,
    measured: 0,
    over,
    cumulative: 0,
  });
  it('finds a daily loss that begins, and is silent before', () => {
    const days = Array.from({ length: 40 }, (_, i) => day(i, ((i * 7919) % 11) - 5 - (i >= 30 ? 8 : 0)));
    const chart = controlChart(days);
    expect(chart.slice(0, 30).every((p) => p.signal === null)).toBe(true);
    expect(chart.findIndex((p) => p.signal === 'loss')).toBeGreaterThanOrEqual(30);
    expect(controlChart(days.slice(0, 9))).toEqual([]);
  });
});

describe('water', () => {
  const of = (mm: (i: number) => number) =>
    Array.from({ length: 60 }, (_, i) => ({ at: i * 3_600_000, litres: 1, tempC: null, waterMm: mm(i) }));
  it('rises by more than an eighth of an inch', () => {
    expect(waterRise(of(() => 4))).toBeUndefined();
    expect(waterRise(of((i) => (i === 30 ? 90 : 4)))).toBeUndefined();
    expect(waterRise(of((i) => (i < 30 ? 4 : 7.1)))).toBeUndefined();
    expect(waterRise(of((i) => (i < 30 ? 4 : 7.3)))).toMatchObject({ fromMm: 4, toMm: 7.3 });
  });
});
