import type { Chart } from '../metering/index.ts';
import { type DrawnDown, type FittedChart, fitChart } from './chart-fit.ts';
import { deliveriesFound, lossesFound } from './deliveries.ts';
import { BASE_C, type Body, depthOf, type History, HOUR_MS, litresAt } from './domain.ts';
import { type Still, stillTrace } from './still.ts';
import type { TankModel } from './tank-model.ts';

/** Why no chart can be fitted. */
export type NoOwnChart = 'no levels' | 'cannot be told apart';

export interface OwnChart {
  readonly fitted: FittedChart;
  /** Draw-downs between deliveries that it was fitted to, and their readings. */
  readonly runs: number;
  readonly readings: number;
}

/** A meter in trade as a standard deviation, a part: the scale of a chart that is fitted to meters is no surer. Common practice, no source. */
const METER_ERROR = 0.0015;
/** A shorter run tells too little to pay for its own constant. */
const LEAST_READINGS = 12;

/**
 * A tank's own chart from its history: levels at rest between deliveries against what the meters gave. Fuel that swells or shrinks
 * meanwhile, and what the model says was lost, is taken out of what was drawn, or warm days would bend the chart.
 */
export function ownChart(history: History, model: TankModel | null): OwnChart | NoOwnChart {
  const trace = stillTrace(history);
  if (!trace.still.some((s) => s.levelMm !== null)) return 'no levels';
  const { capacityLitres } = history.body;
  const lost = model ? model.leak.value : 0;
  const breaks = [...deliveriesFound(trace, capacityLitres), ...lossesFound(trace, capacityLitres)];
  const apart = new Set<number>();
  for (const b of breaks) for (let i = b.before + 1; i <= b.after; i++) apart.add(i);
  const runs: DrawnDown[][] = [];
  let first: Still | undefined;
  for (const [i, s] of trace.still.entries()) {
    if (apart.has(i)) first = undefined;
    if (s.levelMm === null) continue;
    if (!first) {
      first = s;
      runs.push([]);
    }
    const swell = (of: Still) => (of.tempC === null ? 1 : 1 + history.expansionPerK * (of.tempC - BASE_C));
    const swollen = s.litres * (1 - swell(first) / swell(s));
    const drawn = s.drawnTotal - first.drawnTotal + (lost * (s.at - first.at)) / HOUR_MS;
    // The book is at the base temperature, the chart is of the fuel as it lies there.
    runs.at(-1)?.push({ levelMm: s.levelMm, drawnLitres: drawn * swell(first) - swollen });
  }
  const long = runs.filter((r) => r.length >= LEAST_READINGS);
  if (long.length === 0) return 'cannot be told apart';
  const fitted = fitChart(history.body, long, METER_ERROR);
  if (!fitted) return 'cannot be told apart';
  return { fitted, runs: long.length, readings: long.reduce((sum, r) => sum + r.length, 0) };
}

export interface ChartPoint {
  readonly mm: number;
  /** Litres from the lowest level seen, by the chart in use and by the fitted one, and half the width of its 95 % interval. */
  readonly used: number;
  readonly fitted: number;
  readonly margin: number;
}

/** The fitted chart beside the one in use, from the lowest level seen to the highest. What is below the lowest nobody has measured. */
export function besideUsed({ fitted }: OwnChart, body: Body, steps = 24): ChartPoint[] {
  const { lowestMm, highestMm } = fitted;
  const floor = litresAt(body, lowestMm);
  return Array.from({ length: steps + 1 }, (_, i): ChartPoint => {
    const mm = lowestMm + ((highestMm - lowestMm) * i) / steps;
    const found = i === 0 ? undefined : fitted.between(lowestMm, Math.min(mm, highestMm));
    return {
      mm,
      used: litresAt(body, mm) - floor,
      fitted: found?.litres ?? 0,
      margin: found?.margin ?? 0,
    };
  });
}

/**
 * A whole chart with the fitted one between the levels seen; below them it is as used, above them as used and shifted to meet it. Undefined
 * where that does not rise all the way.
 */
export function chartWith({ fitted }: OwnChart, body: Body, dipMm: readonly number[]): Chart | undefined {
  const { lowestMm, highestMm } = fitted;
  const floor = litresAt(body, lowestMm);
  const top = (fitted.between(lowestMm, highestMm)?.litres ?? 0) + floor - litresAt(body, highestMm);
  const litres = dipMm.map((mm) => {
    if (mm <= lowestMm) return litresAt(body, mm);
    if (mm >= highestMm) return litresAt(body, mm) + top;
    return floor + (fitted.between(lowestMm, mm)?.litres ?? 0);
  });
  return litres.every((l, i) => i === 0 || l > (litres[i - 1] as number)) ? { dipMm, litres } : undefined;
}

/** Dips from one end of the chart in use to the other, both included, `stepMm` apart. */
export function dipsOf(body: Body, stepMm: number): number[] {
  const from = body.chart.dipMm[0] as number;
  const to = body.chart.dipMm.at(-1) as number;
  const count = Math.floor(depthOf(body) / stepMm + 1e-9);
  const dips = Array.from({ length: count + 1 }, (_, i) => from + i * stepMm);
  // Without its deepest dip a full tank could not be read.
  return to - (dips.at(-1) as number) > stepMm / 100 ? [...dips, to] : dips;
}
