import { median, sampleStandardDeviation } from 'simple-statistics';
import type { BookDay } from './book.ts';
import type { Reading } from './domain.ts';

export interface ControlPoint {
  readonly day: number;
  /** Standardised: over or short less its usual, in its usual spread. */
  readonly z: number;
  readonly high: number;
  readonly low: number;
  readonly signal: 'loss' | 'gain' | null;
}

/** E. S. Page, 'Continuous inspection schemes', Biometrika 41 (1954): slack k and limit h in standard deviations. */
export function cusum(
  values: readonly number[],
  centre: number,
  k: number,
  h: number,
): { high: number; low: number; out: boolean }[] {
  let [high, low] = [0, 0];
  return values.map((v) => {
    high = Math.max(0, high + v - centre - k);
    low = Math.max(0, low + centre - v - k);
    return { high, low, out: high > h || low > h };
  });
}

const K = 0.5;
const H = 5;
const LEAST_DAYS = 10;

/**
 * A control chart of each day's over or short: the first part of the days, at least ten, tells what is usual. Robust, so that the day to be
 * found does not hide itself. k = 1/2 and h = 5 find a shift of one deviation in about ten days and call falsely about once in 465 (D. C.
 * Montgomery, 'Introduction to Statistical Quality Control'; from memory). Empty with fewer days.
 */
export function controlChart(days: readonly BookDay[]): ControlPoint[] {
  if (days.length < LEAST_DAYS) return [];
  const usual = days.slice(0, Math.max(LEAST_DAYS, Math.floor(days.length / 2))).map((d) => d.over);
  const centre = median(usual);
  const spread = 1.4826 * median(usual.map((o) => Math.abs(o - centre))) || sampleStandardDeviation(usual) || 1;
  const z = days.map((d) => (d.over - centre) / spread);
  return cusum(z, 0, K, H).map((c, i): ControlPoint => {
    const d = days[i] as BookDay;
    const signal = c.low > H ? 'loss' : c.high > H ? 'gain' : null;
    return { day: d.day, z: z[i] as number, high: c.high, low: c.low, signal };
  });
}

export interface WaterRise {
  readonly fromMm: number;
  readonly toMm: number;
  /** Since this instant, ms UTC. */
  readonly since: number;
}

/** Water is to be measured to 1/8 in (40 CFR 280.43(a)(6)): a rise of more than that over the lowest before is told. */
const EIGHTH_MM = 25.4 / 8;
/** Of so many readings the middle one counts, so that a single wrong one says nothing. */
const MIDDLE_OF = 5;

export function waterRise(readings: readonly Reading[]): WaterRise | undefined {
  const seen = readings.filter((r): r is Reading & { waterMm: number } => r.waterMm !== null);
  if (seen.length < 2 * MIDDLE_OF) return undefined;
  const middle = (i: number) => median(seen.slice(i, i + MIDDLE_OF).map((r) => r.waterMm));
  let [fromMm, since] = [Number.POSITIVE_INFINITY, 0];
  for (let i = 0; i + 2 * MIDDLE_OF <= seen.length; i += MIDDLE_OF) {
    const mm = middle(i);
    if (mm <= fromMm) [fromMm, since] = [mm, (seen[i + MIDDLE_OF - 1] as Reading).at];
  }
  const toMm = middle(seen.length - MIDDLE_OF);
  return toMm - fromMm > EIGHTH_MM ? { fromMm, toMm, since } : undefined;
}
