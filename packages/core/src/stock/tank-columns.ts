import { BASE_C, type Body, chartWalk, DAY_MS, depthOf, HOUR_MS } from './domain.ts';
import type { Still } from './still.ts';

/** A part that gauge less book is made of. */
export type Part =
  | { readonly kind: 'constant' }
  | { readonly kind: 'leak' }
  | { readonly kind: 'hose'; readonly hose: string }
  | { readonly kind: 'delivery'; readonly at: number }
  | { readonly kind: 'chart'; readonly which: 'offset' | 'scale' | 'bend' }
  | { readonly kind: 'temperature' }
  | { readonly kind: 'daily'; readonly which: 'sine' | 'cosine' };

/** What is supposed beforehand, as standard deviations. Common practice, no source; wide on purpose. */
const BEFORE = {
  /** A meter in trade is within 0.3 to 0.5 % (OIML R 117 class 0.5). */
  drift: 0.005,
  billed: 0.005,
  unbilled: 0.05,
  offsetMm: 25,
  scale: 0.005,
  bend: 0.004,
  /** Of the expansion itself: products of one kind differ by about a twentieth. */
  expansionPart: 0.05,
  dailyMm: 1,
};
const BENDS = 5;

/** Fuel that came or went in one go: what it was by the bill, or by the level where there is none. */
export interface Step {
  readonly at: number;
  readonly size: number;
  readonly billed: boolean;
}

/** The model's columns, one after another in `design`. What depends on the level is written by `setLevel`. */
export interface Columns {
  readonly parts: readonly Part[];
  /** What is known of each beforehand; null for nothing. */
  readonly before: readonly (number | null)[];
  readonly design: Float64Array;
  /** Litres per mm at each row. */
  readonly perMm: Float64Array;
  readonly setLevel: (litres: Float64Array) => void;
}

/** `daily`: with an error of the gauge that comes back at the same hour, as one that warms with the day has it. */
export function columnsOf(
  tank: { readonly body: Body; readonly expansionPerK: number },
  rows: readonly Still[],
  steps: readonly Step[],
  hoses: readonly string[],
  daily = false,
): Columns {
  const first = rows[0] as Still;
  const last = rows.at(-1) as Still;
  const { capacityLitres } = tank.body;
  const made: { part: Part; before: number | null }[] = [];
  const column = (part: Part, before: number | null) => made.push({ part, before }) - 1;
  column({ kind: 'constant' }, null);
  column({ kind: 'leak' }, null);
  const drawn = hoses.flatMap((hose, k) =>
    last.drawn[k] === first.drawn[k] ? [] : [{ k, j: column({ kind: 'hose', hose }, BEFORE.drift) }],
  );
  const came = steps
    .filter((s) => s.at > first.at && s.at <= last.at && s.size !== 0)
    .map((s) => ({ ...s, j: column({ kind: 'delivery', at: s.at }, s.billed ? BEFORE.billed : BEFORE.unbilled) }));
  const offset = column({ kind: 'chart', which: 'offset' }, BEFORE.offsetMm);
  const scale = column({ kind: 'chart', which: 'scale' }, BEFORE.scale);
  for (let k = 2; k <= BENDS; k++) column({ kind: 'chart', which: 'bend' }, BEFORE.bend / k);
  const warmth = warmthOf(rows, steps);
  const mean = warmth && warmth.reduce((sum, c) => sum + c, 0) / warmth.length;
  const warm = warmth?.some((c) => c !== mean)
    ? column({ kind: 'temperature' }, BEFORE.expansionPart * tank.expansionPerK)
    : null;
  const sine = daily ? column({ kind: 'daily', which: 'sine' }, BEFORE.dailyMm) : null;
  if (daily) column({ kind: 'daily', which: 'cosine' }, BEFORE.dailyMm);

  const width = made.length;
  const design = new Float64Array(rows.length * width);
  const perMm = new Float64Array(rows.length);
  const n = rows.length;
  const fill = (j: number, of: (r: Still) => number) => {
    for (let i = 0; i < n; i++) design[j * n + i] = of(rows[i] as Still);
  };
  fill(0, () => 1);
  fill(1, (r) => -(r.at - first.at) / HOUR_MS);
  for (const { k, j } of drawn) fill(j, (r) => (first.drawn[k] as number) - (r.drawn[k] as number));
  for (const s of came) fill(s.j, (r) => (s.at <= r.at ? s.size : 0));
  const depth = depthOf(tank.body);
  const bottom = tank.body.chart.dipMm[0] as number;
  const walk = chartWalk(tank.body);
  const above = (mean ?? BASE_C) - BASE_C;
  const setLevel = (litres: Float64Array) => {
    for (let i = 0; i < n; i++) {
      const held = litres[i] as number;
      const mm = walk.levelAt(held);
      const each = walk.litresPerMm(mm);
      perMm[i] = each;
      design[offset * n + i] = each;
      design[scale * n + i] = held;
      // sin kx = 2 cos x sin (k-1)x - sin (k-2)x.
      const x = (Math.PI * (mm - bottom)) / depth;
      const twice = 2 * Math.cos(x);
      let [before, wave] = [0, Math.sin(x)];
      for (let k = 2; k <= BENDS; k++) {
        const next = twice * wave - before;
        before = wave;
        wave = next;
        design[(scale + k - 1) * n + i] = capacityLitres * wave;
      }
      if (sine !== null) {
        const hour = (2 * Math.PI * ((rows[i] as Still).at % DAY_MS)) / DAY_MS;
        design[sine * n + i] = each * Math.sin(hour);
        design[(sine + 1) * n + i] = each * Math.cos(hour);
      }
      // What the tank holds and what was drawn from it since swell alike; at the mean warmth both are the chart's and the meters' scale.
      if (warm !== null && warmth && mean !== undefined) {
        const r = rows[i] as Still;
        const drawnAbove = r.drawnWarmth - first.drawnWarmth - above * (r.drawnTotal - first.drawnTotal);
        design[warm * n + i] = held * ((warmth[i] as number) - mean) + drawnAbove;
      }
    }
  };
  return { parts: made.map((m) => m.part), before: made.map((m) => m.before), design, perMm, setLevel };
}

/** Neighbours on each side over which the warmth is averaged: some two hours of a working day. */
const WARMTH_NEIGHBOURS = 6;

/**
 * The fuel's warmth at each row, °C, as a mean of neighbours between deliveries; undefined where one is missing. The probe's own noise is
 * in gauge less book already: a column with the same noise would explain it, and take the expansion for larger than it is.
 */
function warmthOf(rows: readonly Still[], steps: readonly Step[]): Float64Array | undefined {
  if (rows.some((r) => r.tempC === null)) return undefined;
  const sums = new Float64Array(rows.length + 1);
  for (let i = 0; i < rows.length; i++) sums[i + 1] = (sums[i] as number) + ((rows[i] as Still).tempC as number);
  const breaks = [0, ...steps.map((s) => rows.findIndex((r) => r.at >= s.at)).filter((i) => i > 0), rows.length];
  breaks.sort((a, b) => a - b);
  const warmth = new Float64Array(rows.length);
  for (let b = 1; b < breaks.length; b++) {
    const [begin, end] = [breaks[b - 1] as number, breaks[b] as number];
    for (let i = begin; i < end; i++) {
      // As many to each side, so that a warming does not lag.
      const reach = Math.min(WARMTH_NEIGHBOURS, i - begin, end - 1 - i);
      warmth[i] = ((sums[i + reach + 1] as number) - (sums[i - reach] as number)) / (2 * reach + 1);
    }
  }
  return warmth;
}
