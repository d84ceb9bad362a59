import { deliveriesFound, type Found, lossesFound, type Matched, matchBills } from './deliveries.ts';
import { BASE_C, type Billed, DAY_MS, type History, HOUR_MS, levelPart, litresPerMm } from './domain.ts';
import { leastSquares, type Solved, varianceOf, weakestDirection } from './least-squares.ts';
import { type Still, type StillTrace, stillTrace } from './still.ts';

/**
 * One least-squares model of a tank: gauge less book, both at the base temperature, is a constant, a leak times the hours, a drift per
 * hose times what it metered, an error per delivery, an error of the chart by level, and an error of the expansion. Rows are divided by the
 * gauge's noise at that level. What is known beforehand of drifts, deliveries and charts enters as rows of its own (H. Theil, A. S.
 * Goldberger, 'On pure and mixed statistical estimation in economics', International Economic Review 2, 1961); the leak and the constant
 * have none. Rows far off lose weight (P. J. Huber, 'Robust estimation of a location parameter', 1964).
 */
export type Part =
  | { readonly kind: 'constant' }
  | { readonly kind: 'leak' }
  | { readonly kind: 'hose'; readonly hose: string }
  | { readonly kind: 'delivery'; readonly at: number }
  | { readonly kind: 'chart'; readonly which: 'offset' | 'scale' | 'bend' }
  | { readonly kind: 'temperature' };

export interface Estimate {
  readonly part: Part;
  /** leak: litres an hour lost · hose: part by which it gives more than it counts · delivery: part by which more came than was billed ·
   * chart offset: mm; scale and bend: parts of the capacity · temperature: per K. */
  readonly value: number;
  readonly deviation: number;
  /** What was known of it before a reading was looked at; null for nothing. */
  readonly before: number | null;
  /** False where the readings say little beyond that: its value is then a supposition. */
  readonly told: boolean;
}

export interface Drift {
  readonly hose: string;
  /** Against the other hoses of the tank, weighed by what they metered; null where there is no other. Part, positive: gives more than it counts. */
  readonly relative: number | null;
  readonly deviation: number | null;
  /** Metered, litres at base temperature. */
  readonly litres: number;
}

export interface TankModel {
  readonly estimates: readonly Estimate[];
  readonly leak: Estimate;
  readonly drifts: readonly Drift[];
  readonly deliveries: readonly Matched[];
  readonly losses: readonly Found[];
  /** Standard deviation of what is left, mm of level. */
  readonly residualMm: number;
  /** Above 1: what is left is not noise from reading to reading, and every interval is that much wider. */
  readonly widened: number;
  readonly freedom: number;
  readonly rows: number;
  readonly leftOut: number;
  readonly hours: number;
  /** Gauge less book by the model's rows, litres, and what is left of it. */
  readonly trace: readonly { readonly at: number; readonly over: number; readonly left: number }[];
  /** What these readings cannot tell apart, as groups of parts; empty where all can be. */
  readonly confused: readonly (readonly Part[])[];
}

/** Why there is no estimate. */
export type NoModel = 'too few readings' | 'too short' | 'cannot be told apart';

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
};
const BENDS = 5;
/** Huber's bend of the weights: 95 % efficiency with normal noise. */
const HUBER = 1.345;
const ROUNDS = 4;
const LEAST_ROWS = 60;
const LEAST_HOURS = 7 * 24;

interface Column {
  readonly part: Part;
  readonly values: Float64Array;
  readonly before: number | null;
}

export function tankModel(history: History): TankModel | NoModel {
  const trace = stillTrace(history);
  const capacity = history.body.capacityLitres;
  const found = deliveriesFound(trace, capacity);
  const losses = lossesFound(trace, capacity);
  const netOf = billNet(history, trace);
  const deliveries = matchBills(found, history.billed, netOf);
  // While a delivery runs in, neither level nor book is known; the readings within it say nothing.
  const within = new Set<number>();
  for (const f of found) for (let i = f.before + 1; i < f.after; i++) within.add(i);
  const rows = trace.still.filter((s, i) => !within.has(i) && s.litres > 0 && s.litres < capacity);
  const [first, last] = [rows[0], rows.at(-1)];
  if (!first || !last || rows.length < LEAST_ROWS) return 'too few readings';
  const hours = (last.at - first.at) / HOUR_MS;
  if (hours < LEAST_HOURS) return 'too short';
  const steps = [
    ...deliveries.flatMap((d) =>
      d.found ? [{ at: d.found.to, size: d.billedNet ?? d.found.netLitres, billed: d.billed !== null }] : [],
    ),
    // A sudden loss is a step too, of no known size: it must not be spread over the month as a leak.
    ...losses.map((l) => ({ at: l.to, size: l.netLitres, billed: false })),
  ];
  const y = bookError(rows, steps);
  const level = smoothLevel(rows, y, capacity);
  const columns = columnsOf(history, rows, level, steps, trace.hoses);
  const perMm = Float64Array.from(level, (litres) => litresPerMm(history.body, levelPart(litres / capacity)));
  const solved = solve(columns, y, perMm, rows);
  if (!solved) return 'cannot be told apart';
  return summary({ columns, rows, y, perMm, trace, deliveries, losses, hours, ...solved });
}

function billNet(
  history: History,
  trace: StillTrace,
): (b: Billed, f: Found | null) => { litres: number; by: NonNullable<Matched['netBy']> } {
  const at = (litres: number, tempC: number) => litres / (1 + history.expansionPerK * (tempC - BASE_C));
  return (b, f) => {
    if (b.netLitres !== null) return { litres: b.netLitres, by: 'bill' };
    if (b.tempC !== null) return { litres: at(b.litres, b.tempC), by: 'its temperature' };
    const tankC = trace.still[f?.after ?? 0]?.tempC ?? null;
    return { litres: tankC === null ? b.litres : at(b.litres, tankC), by: 'the tank’s temperature' };
  };
}

type Step = { readonly at: number; readonly size: number; readonly billed: boolean };

/** Gauge less book at each reading, from nothing at the first. */
function bookError(rows: readonly Still[], steps: readonly Step[]): Float64Array {
  const first = rows[0] as Still;
  return Float64Array.from(rows, (r) => {
    let book = first.netLitres;
    for (const [k, v] of r.drawn.entries()) book -= v - (first.drawn[k] as number);
    for (const s of steps) if (s.at <= r.at && s.at > first.at) book += s.size;
    return r.netLitres - book;
  });
}

/** Neighbours on each side over which gauge less book is averaged. */
const NEIGHBOURS = 30;

/**
 * The level by the book, held to the gauge by the mean of neighbours. A column made of the reading itself would carry the reading's own
 * noise, and the fit would explain noise by noise.
 */
function smoothLevel(rows: readonly Still[], y: Float64Array, capacity: number): Float64Array {
  const sums = new Float64Array(y.length + 1);
  for (let i = 0; i < y.length; i++) sums[i + 1] = (sums[i] as number) + (y[i] as number);
  return Float64Array.from(rows, (r, i) => {
    const [low, high] = [Math.max(0, i - NEIGHBOURS), Math.min(y.length, i + NEIGHBOURS + 1)];
    const litres = r.litres - (y[i] as number) + ((sums[high] as number) - (sums[low] as number)) / (high - low);
    return litres > 0 && litres < capacity ? litres : r.litres;
  });
}

function columnsOf(
  history: History,
  rows: readonly Still[],
  level: Float64Array,
  steps: readonly Step[],
  hoses: readonly string[],
): Column[] {
  const first = rows[0] as Still;
  const capacity = history.body.capacityLitres;
  const parts = Float64Array.from(level, (litres) => levelPart(litres / capacity));
  const make = (part: Part, before: number | null, f: (r: Still, i: number) => number): Column => ({
    part,
    before,
    values: Float64Array.from(rows, f),
  });
  const columns = [
    make({ kind: 'constant' }, null, () => 1),
    make({ kind: 'leak' }, null, (r) => -(r.at - first.at) / HOUR_MS),
    ...hoses.map((hose, k) =>
      make({ kind: 'hose', hose }, BEFORE.drift, (r) => -((r.drawn[k] as number) - (first.drawn[k] as number))),
    ),
    ...steps
      .filter((s) => s.at > first.at)
      .map((s) =>
        make({ kind: 'delivery', at: s.at }, s.billed ? BEFORE.billed : BEFORE.unbilled, (r) =>
          s.at <= r.at ? s.size : 0,
        ),
      ),
    make({ kind: 'chart', which: 'offset' }, BEFORE.offsetMm, (_, i) => litresPerMm(history.body, parts[i] as number)),
    make({ kind: 'chart', which: 'scale' }, BEFORE.scale, (_, i) => level[i] as number),
  ];
  for (let k = 2; k <= BENDS; k++)
    columns.push(
      make(
        { kind: 'chart', which: 'bend' },
        BEFORE.bend / k,
        (_, i) => capacity * Math.sin(k * Math.PI * (parts[i] as number)),
      ),
    );
  const temps = rows.map((r) => r.tempC);
  const known = temps.filter((c): c is number => c !== null);
  if (known.length === temps.length) {
    const mean = known.reduce((sum, c) => sum + c, 0) / known.length;
    columns.push(
      make(
        { kind: 'temperature' },
        BEFORE.expansionPart * history.expansionPerK,
        (r, i) => (level[i] as number) * ((r.tempC as number) - mean),
      ),
    );
  }
  return columns.filter((c) => c.values.some((v) => v !== 0));
}

interface Fit {
  readonly solved: Solved;
  readonly sigmaMm: number;
  readonly widened: number;
  readonly left: Float64Array;
}

/** Rows over noise, rows of prior knowledge below them; noise and weights are found in turn. */
function solve(
  columns: readonly Column[],
  y: Float64Array,
  perMm: Float64Array,
  rows: readonly Still[],
): Fit | undefined {
  const n = y.length;
  const knownBefore = columns.map((c, j) => ({ j, before: c.before })).filter((c) => c.before !== null);
  const total = n + knownBefore.length;
  let sigmaMm = 1;
  const weight = new Float64Array(n).fill(1);
  let solved: Solved | undefined;
  const left = new Float64Array(n);
  for (let round = 0; round < ROUNDS; round++) {
    const scale = Float64Array.from(weight, (w, i) => Math.sqrt(w) / (sigmaMm * (perMm[i] as number)));
    const design = columns.map((c) => {
      const full = new Float64Array(total);
      for (let i = 0; i < n; i++) full[i] = (c.values[i] as number) * (scale[i] as number);
      return full;
    });
    for (const [r, { j, before }] of knownBefore.entries()) (design[j] as Float64Array)[n + r] = 1 / (before as number);
    const target = new Float64Array(total);
    for (let i = 0; i < n; i++) target[i] = (y[i] as number) * (scale[i] as number);
    solved = leastSquares(design, target);
    if (!solved) return undefined;
    for (let i = 0; i < n; i++) {
      let rest = y[i] as number;
      for (const [j, c] of columns.entries()) rest -= (c.values[i] as number) * (solved.coefficients[j] as number);
      left[i] = rest / (perMm[i] as number);
    }
    sigmaMm = spreadOfMiddle(left, n - columns.length);
    for (let i = 0; i < n; i++) {
      const off = Math.abs(left[i] as number) / sigmaMm;
      weight[i] = off <= HUBER ? 1 : HUBER / off;
    }
  }
  if (!solved) return undefined;
  return { solved, sigmaMm, widened: widening(left, sigmaMm, rows), left: left.slice() };
}

/** 1.4826 x the median of |left|, with the degrees of freedom that the columns have used. */
function spreadOfMiddle(left: Float64Array, freedom: number): number {
  const sorted = Float64Array.from(left, Math.abs).sort();
  const middle = 1.4826 * (sorted[sorted.length >> 1] as number);
  return Math.max(1e-6, middle * Math.sqrt(left.length / Math.max(1, freedom)));
}

/**
 * Noise that is free from reading to reading adds up over a day as the root of their number. Where it adds up to more, neighbours err alike
 * and there are fewer independent readings than rows: intervals grow by this factor (the idea of a cluster-robust error, by day).
 */
function widening(left: Float64Array, sigmaMm: number, rows: readonly Still[]): number {
  const sums = new Map<number, { sum: number; count: number }>();
  for (const [i, r] of rows.entries()) {
    const day = Math.floor(r.at / DAY_MS);
    const d = sums.get(day) ?? { sum: 0, count: 0 };
    // As the weights have it: a row far off counts no more than the bend.
    const z = Math.max(-3, Math.min(3, (left[i] as number) / sigmaMm));
    sums.set(day, { sum: d.sum + z, count: d.count + 1 });
  }
  let [found, expected] = [0, 0];
  for (const { sum, count } of sums.values()) {
    found += sum * sum;
    expected += count;
  }
  return Math.max(1, Math.sqrt(found / expected));
}

/** Below this gain the readings have added little to what was supposed. */
const TOLD = 0.7;

function summary(
  all: Fit & {
    columns: readonly Column[];
    rows: readonly Still[];
    y: Float64Array;
    perMm: Float64Array;
    trace: StillTrace;
    deliveries: readonly Matched[];
    losses: readonly Found[];
    hours: number;
  },
): TankModel {
  const { columns, solved, widened, rows } = all;
  const error = (j: number) => widened * Math.sqrt(solved.spread[j]?.[j] as number);
  const estimates = columns.map((c, j): Estimate => {
    const deviation = error(j);
    return {
      part: c.part,
      value: solved.coefficients[j] as number,
      deviation,
      before: c.before,
      told: c.before === null || deviation < TOLD * c.before,
    };
  });
  return {
    estimates,
    leak: estimates.find((e) => e.part.kind === 'leak') as Estimate,
    drifts: driftsOf(all, widened),
    deliveries: all.deliveries,
    losses: all.losses,
    residualMm: all.sigmaMm,
    widened,
    freedom: Math.max(1, rows.length - columns.length),
    rows: rows.length,
    leftOut: all.trace.leftOut,
    hours: all.hours,
    trace: rows.map((r, i) => ({
      at: r.at,
      over: all.y[i] as number,
      left: (all.left[i] as number) * (all.perMm[i] as number),
    })),
    confused: confusedIn(columns, all),
  };
}

/** A drift that all hoses share looks like a chart that is out of scale; between hoses it does not. */
function driftsOf(
  {
    columns,
    solved,
    rows,
    trace,
  }: { columns: readonly Column[]; solved: Solved; rows: readonly Still[]; trace: StillTrace },
  widened: number,
): Drift[] {
  const metered = trace.hoses.map((_, k) => ((rows.at(-1)?.drawn[k] ?? 0) as number) - (rows[0]?.drawn[k] ?? 0));
  const whole = metered.reduce((sum, v) => sum + v, 0);
  return trace.hoses.flatMap((hose, k): Drift[] => {
    const litres = metered[k] as number;
    if (!columns.some((c) => c.part.kind === 'hose' && c.part.hose === hose)) return [];
    const others = whole - litres;
    if (!(others > 0)) return [{ hose, relative: null, deviation: null, litres }];
    const weights = columns.map((c) => {
      if (c.part.kind !== 'hose') return 0;
      if (c.part.hose === hose) return 1;
      return -(metered[trace.hoses.indexOf(c.part.hose)] as number) / others;
    });
    const relative = weights.reduce((sum, w, j) => sum + w * (solved.coefficients[j] as number), 0);
    return [{ hose, relative, deviation: widened * Math.sqrt(varianceOf(solved.spread, weights)), litres }];
  });
}

/** The direction that the readings alone (without what was known before) see least: where it is weaker than what was supposed, its parts are one group. */
function confusedIn(
  columns: readonly Column[],
  { perMm, sigmaMm }: { perMm: Float64Array; sigmaMm: number },
): Part[][] {
  const scaled = columns.map((c) => {
    const values = c.values.map((v, i) => v / (sigmaMm * (perMm[i] as number)));
    const by = c.before ?? 1 / Math.sqrt(values.reduce((sum, v) => sum + v * v, 0));
    return values.map((v) => v * by);
  });
  const weak = weakestDirection(scaled);
  if (weak.value >= 1) return [];
  const group = columns.filter((_, j) => Math.abs(weak.direction[j] as number) > 0.3).map((c) => c.part);
  return group.length > 1 ? [group] : [];
}
