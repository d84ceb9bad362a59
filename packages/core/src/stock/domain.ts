import type { Chart } from '../metering/index.ts';

/** Fuel in a tank over time, as the statistics take it. Litres in floating point; ledger quantities stay whole microlitres elsewhere. */
export interface Reading {
  /** ms UTC. */
  readonly at: number;
  /** What the gauge made of its level by the tank's chart, gross litres at the fuel's temperature. */
  readonly litres: number;
  /** Mean temperature of the fuel, °C; null where the gauge has none. */
  readonly tempC: number | null;
  /** Free water at the bottom, mm. */
  readonly waterMm: number | null;
  /** The level itself, mm, where the gauge told it. */
  readonly levelMm?: number | null;
}

export interface Drawn {
  readonly id: string;
  readonly hose: string;
  /** ms UTC: when fuel may have begun to flow, and when it had stopped. */
  readonly from: number;
  readonly to: number;
  /** By the meter, gross litres. */
  readonly litres: number;
}

/** A delivery as its bill of lading tells it. */
export interface Billed {
  readonly id: string;
  /** ms UTC, as written by a person: it may be hours off. */
  readonly at: number;
  /** Gross litres at the temperature of loading. */
  readonly litres: number;
  /** Net litres at the base temperature, where the bill has them. */
  readonly netLitres: number | null;
  /** Temperature of loading, °C. */
  readonly tempC: number | null;
}

/** The tank as the statistics need it: its chart, which tells how many litres a millimetre is at each level. */
export interface Body {
  readonly capacityLitres: number;
  readonly chart: Chart;
}

export interface History {
  readonly body: Body;
  /** Expansion of the product per K at the base of 15 °C: diesel about 0.00083, petrol about 0.00124 (API MPMS 11.1 at 840 and 740 kg/m3). */
  readonly expansionPerK: number;
  /** In time's order. */
  readonly readings: readonly Reading[];
  readonly fills: readonly Drawn[];
  readonly billed: readonly Billed[];
  /** A level may be so old when it is read: readings that follow a draw more closely are left out, ms. */
  readonly gaugeLagMs: number;
}

export const HOUR_MS = 3_600_000;
export const DAY_MS = 86_400_000;
export const BASE_C = 15;

/** The part of a circle's area below a chord at `part` of the diameter (0 to 1). */
function areaPart(part: number): number {
  const angle = 2 * Math.acos(1 - 2 * part);
  return (angle - Math.sin(angle)) / (2 * Math.PI);
}

/** Level as a part of the diameter at which a lying cylinder is filled to `filled` (0 to 1), by halving to 1e-7. @throws RangeError outside. */
export function levelPart(filled: number): number {
  if (!(filled >= 0 && filled <= 1)) throw new RangeError(`a tank is filled from 0 to 1, not ${filled}`);
  let [low, high] = [0, 1];
  while (high - low > 1e-7) {
    const middle = (low + high) / 2;
    if (areaPart(middle) < filled) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

const POINTS = 400;

/** A lying cylinder with flat ends that holds so much, for a tank of which no chart is known. */
export function lyingBody(capacityLitres: number, diameterMm: number): Body {
  const parts = Array.from({ length: POINTS + 1 }, (_, i) => i / POINTS);
  return {
    capacityLitres,
    chart: { dipMm: parts.map((p) => p * diameterMm), litres: parts.map((p) => areaPart(p) * capacityLitres) },
  };
}

export const depthOf = ({ chart }: Body): number => (chart.dipMm.at(-1) as number) - (chart.dipMm[0] as number);

/** Litres at a level by the chart; beyond its ends they stay at them. */
export const litresAt = ({ chart }: Body, mm: number): number => line(chart.dipMm, chart.litres)(mm);

/** Over so large a part of the depth, to each side, a chart's steepness is taken: its own steps must not show. */
const SPAN = 0.01;

/** A chart to be asked again and again: levels that follow one another closely are found at once. */
export interface ChartWalk {
  /** Level at so many litres, mm; beyond the ends it stays at them. */
  readonly levelAt: (litres: number) => number;
  /** Litres per millimetre at a level; near the ends as a hundredth of the depth inside them, where a lying tank still has a surface. */
  readonly litresPerMm: (levelMm: number) => number;
}

export function chartWalk(body: Body): ChartWalk {
  const { dipMm, litres } = body.chart;
  const reach = SPAN * depthOf(body);
  const [bottom, top] = [(dipMm[0] as number) + reach, (dipMm.at(-1) as number) - reach];
  const [above, below] = [line(dipMm, litres), line(dipMm, litres)];
  return {
    levelAt: line(litres, dipMm),
    litresPerMm(levelMm) {
      const middle = Math.min(top, Math.max(bottom, levelMm));
      return (above(middle + reach) - below(middle - reach)) / (2 * reach);
    },
  };
}

/** The y on the line between the two points around x, both lists rising; the end's own beyond the ends. It looks from where it found the last one. */
function line(xs: readonly number[], ys: readonly number[]): (x: number) => number {
  const last = xs.length - 1;
  let low = 0;
  return (x) => {
    if (x <= (xs[0] as number)) return ys[0] as number;
    if (x >= (xs[last] as number)) return ys[last] as number;
    while ((xs[low + 1] as number) <= x) low++;
    while ((xs[low] as number) > x) low--;
    const [x0, y0] = [xs[low] as number, ys[low] as number];
    return y0 + ((x - x0) / ((xs[low + 1] as number) - x0)) * ((ys[low + 1] as number) - y0);
  };
}
