import { deliveriesFound, type Found, lossesFound, type Matched, matchBills } from './deliveries.ts';
import { BASE_C, type Billed, type History, HOUR_MS } from './domain.ts';
import type { GaugeError } from './gauge-error.ts';
import { varianceOf } from './least-squares.ts';
import { type Meters, metersOf } from './meters.ts';
import { type Still, type StillTrace, stillTrace } from './still.ts';
import { columnsOf, type Part, type Step } from './tank-columns.ts';
import { fitTank, type TankFit } from './tank-fit.ts';

/**
 * One least-squares model of a tank: gauge less book, both at the base temperature, is a constant, a leak times the hours, a drift per
 * hose times what it metered, an error per delivery, an error of the chart by level, and an error of the expansion. Rows are divided by the
 * gauge's noise at that level. What is known beforehand of drifts, deliveries and charts enters as rows of its own (H. Theil, A. S.
 * Goldberger, 'On pure and mixed statistical estimation in economics', International Economic Review 2, 1961); the leak and the constant
 * have none.
 */
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
  readonly meters: Meters;
  readonly drifts: readonly Drift[];
  readonly deliveries: readonly Matched[];
  readonly losses: readonly Found[];
  /** Standard deviation of what is left, mm of level. */
  readonly residualMm: number;
  /** How the gauge errs: how much of that wanders, and for how long. */
  readonly gauge: GaugeError;
  /** Above 1: what is left is not noise from reading to reading, and every interval is that much wider. */
  readonly widened: number;
  readonly freedom: number;
  readonly rows: number;
  readonly leftOut: number;
  readonly hours: number;
  /** What these readings cannot tell apart, as groups of parts; empty where all can be. */
  readonly confused: readonly (readonly Part[])[];
}

/** Why there is no estimate. */
export type NoModel = 'too few readings' | 'too short' | 'cannot be told apart';

const LEAST_ROWS = 60;
const LEAST_HOURS = 7 * 24;

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
  const columns = (daily: boolean) => columnsOf(history, rows, steps, trace.hoses, daily);
  const level = smoothLevel(rows, y, capacity);
  const fit = fitTank(columns(false), () => columns(true), y, rows, level, capacity);
  if (!fit) return 'cannot be told apart';
  return summary({ rows, trace, deliveries, losses, hours, fit });
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

/** Gauge less book at each reading, from nothing at the first. Rows and steps in time's order. */
function bookError(rows: readonly Still[], steps: readonly Step[]): Float64Array {
  const first = rows[0] as Still;
  const sorted = steps.filter((s) => s.at > first.at).sort((a, b) => a.at - b.at);
  const y = new Float64Array(rows.length);
  let [next, came] = [0, first.netLitres + first.drawnTotal];
  for (let i = 0; i < rows.length; i++) {
    const r = rows[i] as Still;
    for (; (sorted[next]?.at ?? Number.POSITIVE_INFINITY) <= r.at; next++) came += (sorted[next] as Step).size;
    y[i] = r.netLitres - (came - r.drawnTotal);
  }
  return y;
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
  const level = new Float64Array(y.length);
  for (let i = 0; i < y.length; i++) {
    const gauge = (rows[i] as Still).litres;
    const low = Math.max(0, i - NEIGHBOURS);
    const high = Math.min(y.length, i + NEIGHBOURS + 1);
    const litres = gauge - (y[i] as number) + ((sums[high] as number) - (sums[low] as number)) / (high - low);
    level[i] = litres > 0 && litres < capacity ? litres : gauge;
  }
  return level;
}

/** Below this gain the readings have added little to what was supposed. */
const TOLD = 0.7;

interface Whole {
  readonly fit: TankFit;
  readonly rows: readonly Still[];
  readonly trace: StillTrace;
  readonly deliveries: readonly Matched[];
  readonly losses: readonly Found[];
  readonly hours: number;
}

function summary(whole: Whole): TankModel {
  const { fit, rows } = whole;
  const { columns } = fit;
  const estimates = columns.parts.map((part, j): Estimate => {
    const deviation = fit.widened * Math.sqrt(fit.spread[j]?.[j] as number);
    const before = columns.before[j] as number | null;
    const value = fit.coefficients[j] as number;
    return { part, value, deviation, before, told: before === null || deviation < TOLD * before };
  });
  return {
    estimates,
    leak: estimates.find((e) => e.part.kind === 'leak') as Estimate,
    meters: metersOf(fit),
    drifts: driftsOf(whole),
    deliveries: whole.deliveries,
    losses: whole.losses,
    residualMm: fit.gauge.wholeMm,
    gauge: fit.gauge,
    widened: fit.widened,
    freedom: Math.max(1, rows.length - estimates.length),
    rows: rows.length,
    leftOut: whole.trace.leftOut,
    hours: whole.hours,
    confused: confusedIn(fit),
  };
}

/** A drift that all hoses share looks like a chart that is out of scale; between hoses it does not. */
function driftsOf({ fit, rows, trace }: Whole): Drift[] {
  const { columns } = fit;
  const metered = trace.hoses.map((_, k) => ((rows.at(-1)?.drawn[k] ?? 0) as number) - (rows[0]?.drawn[k] ?? 0));
  const all = metered.reduce((sum, v) => sum + v, 0);
  return trace.hoses.flatMap((hose, k): Drift[] => {
    const litres = metered[k] as number;
    if (!columns.parts.some((p) => p.kind === 'hose' && p.hose === hose)) return [];
    const others = all - litres;
    if (!(others > 0)) return [{ hose, relative: null, deviation: null, litres }];
    const weights = columns.parts.map((p) => {
      if (p.kind !== 'hose') return 0;
      return p.hose === hose ? 1 : -(metered[trace.hoses.indexOf(p.hose)] as number) / others;
    });
    const relative = weights.reduce((sum, w, j) => sum + w * (fit.coefficients[j] as number), 0);
    return [{ hose, relative, deviation: fit.widened * Math.sqrt(varianceOf(fit.spread, weights)), litres }];
  });
}

/** The direction that the readings alone (without what was known before) see least: where it is weaker than what was supposed, its parts are one group. */
function confusedIn({ columns: { parts }, weakest }: TankFit): Part[][] {
  if (weakest.value >= 1) return [];
  const group = parts.filter((_, j) => Math.abs(weakest.direction[j] as number) > 0.3);
  return group.length > 1 ? [group] : [];
}
