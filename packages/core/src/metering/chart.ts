import { err, ok, type Problem, problem, type Result } from '../errors/index.ts';
import { outside, within } from './domain.ts';
import { capacityLitres, deepestMm, LITRES_PER_GALLON, litresAt, MM_PER_INCH, type TankShape } from './tank-shape.ts';

/**
 * A strapping table: litres at a number of dips, as a tank's maker or a calibration gives it. Between two of its points the volume is
 * taken as a straight line; before the first and after the last there is no answer.
 */
export interface Chart {
  /** Ascending, mm. */
  readonly dipMm: readonly number[];
  /** Ascending with the dips. */
  readonly litres: readonly number[];
}

export type DipUnit = 'mm' | 'cm' | 'in';
export type ChartVolumeUnit = 'l' | 'gal';

const MM: Readonly<Record<DipUnit, number>> = { mm: 1, cm: 10, in: MM_PER_INCH };
const LITRES: Readonly<Record<ChartVolumeUnit, number>> = { l: 1, gal: LITRES_PER_GALLON };

/**
 * A chart from rows in its own units. Rows must rise in both columns, at least two of them, and begin at or above 0.
 * @returns every wrong row (FW-201, row from 1), so that all can be mended at once.
 */
export function chartOf(
  rows: readonly { readonly dip: number; readonly volume: number }[],
  dipUnit: DipUnit,
  volumeUnit: ChartVolumeUnit,
): Result<Chart, readonly Problem[]> {
  const problems: Problem[] = [];
  const wrong = (row: number, field: string, found: number, expected: string) =>
    problems.push(problem('FW-201', { at: { in: 'chart', row, field }, found: String(found), expected }));
  if (rows.length < 2)
    problems.push(
      problem('FW-201', { at: { in: 'chart' }, found: `${rows.length} rows`, expected: 'at least 2 rows' }),
    );
  let before: { dip: number; volume: number } | undefined;
  for (const [i, row] of rows.entries()) {
    if (!within(row.dip, 0, 1e6)) wrong(i + 1, 'dip', row.dip, '0 or more');
    else if (before && row.dip <= before.dip) wrong(i + 1, 'dip', row.dip, `more than ${before.dip}, the row before`);
    if (!within(row.volume, 0, 1e9)) wrong(i + 1, 'volume', row.volume, '0 or more');
    else if (before && row.volume <= before.volume)
      wrong(i + 1, 'volume', row.volume, `more than ${before.volume}, the row before`);
    before = row;
  }
  if (problems.length > 0) return err(problems);
  return ok({
    dipMm: rows.map((r) => r.dip * MM[dipUnit]),
    litres: rows.map((r) => r.volume * LITRES[volumeUnit]),
  });
}

/** A chart calculated from a shape, a point every `stepMm` and one at the deepest dip; the step at least a thousandth of the depth. */
export function chartOfShape(shape: TankShape, stepMm: number): Result<Chart, Problem> {
  const deepest = deepestMm(shape);
  if (!within(stepMm, deepest / 1000, deepest)) return outside('step', stepMm, `${deepest / 1000} to ${deepest} mm`);
  const dipMm: number[] = [];
  for (let i = 0; i * stepMm < deepest; i++) dipMm.push(i * stepMm);
  dipMm.push(deepest);
  const litres: number[] = [];
  for (const dip of dipMm) {
    const at = litresAt(shape, dip);
    if (!at.ok) return at;
    litres.push(at.value);
  }
  return ok({ dipMm, litres });
}

/** How the volume in a tank is known: by its own chart, which is better, or by its shape. */
export type Gauge =
  | { readonly by: 'chart'; readonly chart: Chart }
  | { readonly by: 'shape'; readonly shape: TankShape };

/** The y that belongs to x on the straight line between the two points around it; undefined outside the first and last. */
function between(xs: readonly number[], ys: readonly number[], x: number): number | undefined {
  let low = 0;
  let high = xs.length - 1;
  const [first, last] = [xs[low], xs[high]];
  if (first === undefined || last === undefined || !within(x, first, last)) return undefined;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((xs[middle] as number) <= x) low = middle;
    else high = middle;
  }
  const [x0, x1, y0, y1] = [xs[low] as number, xs[high] as number, ys[low] as number, ys[high] as number];
  if (x === x1) return y1;
  return y0 + ((x - x0) / (x1 - x0)) * (y1 - y0);
}

/** Litres in the tank at a dip. @returns FW-801 outside the chart or the tank. */
export function volumeAtDip(gauge: Gauge, dipMm: number): Result<number, Problem> {
  if (gauge.by === 'shape') return litresAt(gauge.shape, dipMm);
  const { dipMm: dips, litres } = gauge.chart;
  const found = between(dips, litres, dipMm);
  return found === undefined
    ? outside('dip', dipMm, `${dips[0]} to ${dips.at(-1)} mm, as the chart has it`)
    : ok(found);
}

/** The dip at which the tank holds so many litres, mm; by a shape to 1e-9 of the depth. @returns FW-801 when there is none. */
export function dipAtVolume(gauge: Gauge, litres: number): Result<number, Problem> {
  if (gauge.by === 'chart') {
    const { dipMm: dips, litres: volumes } = gauge.chart;
    const found = between(volumes, dips, litres);
    return found === undefined
      ? outside('volume', litres, `${volumes[0]} to ${volumes.at(-1)} l, as the chart has it`)
      : ok(found);
  }
  const { shape } = gauge;
  let [low, high] = [0, deepestMm(shape)];
  const [empty, full] = [litresAt(shape, low), litresAt(shape, high)];
  if (!empty.ok) return empty;
  if (!full.ok) return full;
  // The full tank's own volume must be found again although the last digit of a sum depends on its order.
  const slack = full.value * 1e-12;
  if (!within(litres, empty.value - slack, full.value + slack))
    return outside('volume', litres, `${empty.value} to ${full.value} l`);
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    const at = litresAt(shape, middle);
    if (!at.ok) return at;
    if (at.value < litres) low = middle;
    else high = middle;
  }
  return ok(high);
}

/** Litres of the full tank: the chart's last point, or the whole shape. */
export function fullLitres(gauge: Gauge): number {
  return gauge.by === 'chart' ? (gauge.chart.litres.at(-1) ?? 0) : capacityLitres(gauge.shape);
}

export interface Room {
  readonly litres: number;
  /** Empty space up to the full tank. */
  readonly ullageLitres: number;
  /** What may still be delivered up to the safe fill; below zero when the tank is over it already. */
  readonly safeLitres: number;
  /** The dip at the safe fill, mm. */
  readonly safeDipMm: number;
}

/**
 * The room in a tank at a dip. `safeFillPercent`: of the full tank, more than 0, at most 95: 40 CFR 280.20(c)(1) has the flow into an underground
 * tank stop at 95 %, or an alarm at 90 %; local codes may ask for less. The overfill device decides, not this number.
 */
export function roomAtDip(gauge: Gauge, dipMm: number, safeFillPercent: number): Result<Room, Problem> {
  if (!(safeFillPercent > 0 && safeFillPercent <= 95))
    return outside('safe fill', safeFillPercent, 'more than 0 %, at most 95 %');
  const litres = volumeAtDip(gauge, dipMm);
  if (!litres.ok) return litres;
  const full = fullLitres(gauge);
  const safe = (full * safeFillPercent) / 100;
  const safeDipMm = dipAtVolume(gauge, safe);
  if (!safeDipMm.ok) return safeDipMm;
  return ok({
    litres: litres.value,
    ullageLitres: full - litres.value,
    safeLitres: safe - litres.value,
    safeDipMm: safeDipMm.value,
  });
}
