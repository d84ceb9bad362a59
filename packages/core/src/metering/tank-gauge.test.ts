import { describe, expect, it } from 'vitest';
import { emptyFleet, fieldOf, fromJson, newRow, parseValue, type RowOf } from '../fleet/index.ts';
import { fullLitres, volumeAtDip } from './chart.ts';
import { chartOfTank, gaugeOfTank, shapeOfTank } from './tank-gauge.ts';
import { litresAt, MM_PER_INCH } from './tank-shape.ts';

const IN = 25_400;
const fleet = emptyFleet({ name: 'F', units: 'us', currency: 'USD' });
const tank = (given: Partial<RowOf<'tanks'>>) =>
  newRow('tanks', { id: 't', site: 's', name: 'T', product: 'p', ...given });
const chartField = fieldOf('tanks', 'chart');

describe('a fleet’s tank as something that levels are read by', () => {
  // 96 in x 319 in, flat ends: pi 48^2 319 / 231 = 9,995.78 gal; at half its depth half of that (geometry alone).
  it('takes the body from its measures', () => {
    const gauge = gaugeOfTank(tank({ diameter: 96 * IN, length: 319 * IN }));
    if (!gauge.ok || !gauge.value) throw new Error('no gauge');
    const whole = (Math.PI * 48 * 48 * 319 * 16.387064) / 1_000;
    expect(fullLitres(gauge.value)).toBeCloseTo(whole, 6);
    const half = volumeAtDip(gauge.value, 48 * MM_PER_INCH);
    expect(half.ok && half.value).toBeCloseTo(whole / 2, 6);
  });
  it('fills in what is empty of the ends: 2:1 elliptical, DIN 28011 dished', () => {
    const measures = { diameter: 2_000_000, length: 6_000_000 } as const;
    expect(shapeOfTank(tank({ ...measures, ends: 'elliptical' }))).toMatchObject({ near: { depthMm: 500 } });
    expect(shapeOfTank(tank({ ...measures, ends: 'dished' }))).toMatchObject({
      far: { dishRadiusMm: 2_000, knuckleRadiusMm: 200 },
    });
    expect(shapeOfTank(tank({ ...measures, fall: 60_000, gaugeAt: 600_000 }))).toMatchObject({
      tilt: { fallMm: 60, gaugeMm: 600 },
    });
    expect(shapeOfTank(tank({ body: 'standing', diameter: 2_000_000, height: 3_000_000 }))).toMatchObject({
      kind: 'standing cylinder',
      heightMm: 3_000,
    });
    expect(shapeOfTank(tank({ body: 'box', length: 1_000_000, width: 900_000, height: 800_000 }))).toMatchObject({
      kind: 'box',
      widthMm: 900,
    });
    expect(shapeOfTank(tank({ body: 'box', length: 1_000_000, width: 900_000 }))).toBeUndefined();
  });
  it('a chart made of a body is as the body between its points', () => {
    const t = tank({ diameter: 2_400_000, length: 8_000_000, ends: 'dished', fall: 40_000, gaugeAt: 500_000 });
    const [chart, shape] = [chartOfTank(t), shapeOfTank(t)];
    if (!chart || !shape) throw new Error('no chart');
    const full = chart.litres.at(-1) as number;
    for (let mm = 101.5; mm < 2_300; mm += 97) {
      const [by, body] = [volumeAtDip({ by: 'chart', chart }, mm), litresAt(shape, mm)];
      if (!by.ok || !body.ok) throw new Error('outside');
      expect(Math.abs(by.value - body.value) / full).toBeLessThan(4e-6);
    }
  });
  it('takes a strapping table in its own units, before any body', () => {
    const pasted = 'in\tgal\n0\t0\n1\t12.5\n2\t35.125\n';
    const read = chartField && parseValue(chartField, pasted, fleet);
    if (!read?.ok) throw new Error('not read');
    const chart = chartOfTank(tank({ chart: read.value as never, diameter: 96 * IN, length: 319 * IN }));
    expect(chart?.dipMm).toEqual([0, 25.4, 50.8]);
    expect(chart?.litres[2]).toBeCloseTo(35.125 * 3.785411784, 9);
  });
  it('says which row of a table cannot be, and has then no chart', () => {
    const wrong = tank({
      chart: {
        dip: 'mm',
        volume: 'l',
        rows: [
          [0, 0],
          [10_000, 50_000],
          [5_000, 60_000],
        ],
      },
    });
    const gauge = gaugeOfTank(wrong);
    expect(gauge.ok).toBe(false);
    if (!gauge.ok) expect(gauge.error[0]).toMatchObject({ code: 'FW-201', at: { row: 3, field: 'dip' } });
    expect(chartOfTank(wrong)).toBeNull();
  });
  it('of a release from before tanks had a body nothing is supposed', () => {
    const {
      body: _b,
      diameter: _d,
      length: _l,
      width: _w,
      height: _h,
      ends: _e,
      endDepth: _n,
      dishRadius: _r,
      ...rest
    } = tank({});
    const { knuckleRadius: _k, fall: _f, gaugeAt: _g, chart: _c, ...old } = rest;
    const read = fromJson({ settings: fleet.settings, tanks: [old] });
    if (!read.ok) throw new Error(JSON.stringify(read.error));
    const row = read.value.tanks.get('t');
    expect(row).toMatchObject({ body: 'lying', ends: 'flat', diameter: null, chart: null, fall: 0 });
    expect(row && gaugeOfTank(row)).toEqual({ ok: true, value: null });
  });
});
