import type { Problem } from '../errors/index.ts';
import { err, ok, type Result } from '../errors/index.ts';
import type { Tank } from '../fleet/index.ts';
import { type Chart, chartOf, chartOfShape, type Gauge } from './chart.ts';
import type { TankEnd } from './tank-end.ts';
import { deepestMm, type TankShape, wrongShape } from './tank-shape.ts';

const UM_PER_MM = 1_000;
const TEN_THOUSANDTHS = 10_000;

/** The body that a fleet's tank declares; undefined where a measure is missing. What was left empty of its ends is as the field says. */
export function shapeOfTank(tank: Tank): TankShape | undefined {
  const mm = (um: number | null) => (um === null ? undefined : um / UM_PER_MM);
  const [diameterMm, lengthMm, widthMm, heightMm] = [tank.diameter, tank.length, tank.width, tank.height].map(mm);
  const tilt = tank.fall === 0 ? {} : { tilt: { fallMm: tank.fall / UM_PER_MM, gaugeMm: tank.gaugeAt / UM_PER_MM } };
  if (tank.body === 'box') {
    if (!lengthMm || !widthMm || !heightMm) return undefined;
    return { kind: 'box', lengthMm, widthMm, heightMm, ...tilt };
  }
  if (!diameterMm) return undefined;
  const end = endOf(tank, diameterMm);
  if (tank.body === 'lying')
    return lengthMm ? { kind: 'lying cylinder', diameterMm, lengthMm, near: end, far: end, ...tilt } : undefined;
  return heightMm ? { kind: 'standing cylinder', diameterMm, heightMm, bottom: end, top: end } : undefined;
}

function endOf(tank: Tank, diameterMm: number): TankEnd {
  const mm = (um: number | null, otherwise: number) => (um === null ? otherwise : um / UM_PER_MM);
  switch (tank.ends) {
    case 'elliptical':
      return { kind: 'elliptical', depthMm: mm(tank.endDepth, diameterMm / 4) };
    case 'dished':
      return {
        kind: 'dished',
        dishRadiusMm: mm(tank.dishRadius, diameterMm),
        knuckleRadiusMm: mm(tank.knuckleRadius, diameterMm / 10),
      };
    default:
      return { kind: tank.ends };
  }
}

/** How a fleet's tank turns a level into a volume: by its strapping table, else by its body; null where it declares neither. */
export function gaugeOfTank(tank: Tank): Result<Gauge | null, readonly Problem[]> {
  if (tank.chart) {
    const rows = tank.chart.rows.map(([dip, volume]) => ({
      dip: dip / TEN_THOUSANDTHS,
      volume: volume / TEN_THOUSANDTHS,
    }));
    const chart = chartOf(rows, tank.chart.dip, tank.chart.volume);
    return chart.ok ? ok({ by: 'chart', chart: chart.value }) : chart;
  }
  const shape = shapeOfTank(tank);
  if (!shape) return ok(null);
  const wrong = wrongShape(shape);
  return wrong ? err([wrong]) : ok({ by: 'shape', shape });
}

/** A chart calculated from a shape has so many steps: between two of them a lying tank is straight to 4e-6 of its capacity, but at its ends. */
const STEPS = 400;
const known = new WeakMap<Tank, Chart | null>();

/** The chart that a fleet's tank is read by; null where it declares none, or one that cannot be (a finding says why). */
export function chartOfTank(tank: Tank): Chart | null {
  const before = known.get(tank);
  if (before !== undefined) return before;
  const gauge = gaugeOfTank(tank);
  let chart: Chart | null = null;
  if (gauge.ok && gauge.value?.by === 'chart') chart = gauge.value.chart;
  if (gauge.ok && gauge.value?.by === 'shape') {
    const made = chartOfShape(gauge.value.shape, deepestMm(gauge.value.shape) / STEPS);
    chart = made.ok ? made.value : null;
  }
  known.set(tank, chart);
  return chart;
}
