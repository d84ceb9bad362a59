import { quickselect } from 'simple-statistics';
import { DAY_MS, HOUR_MS } from './domain.ts';
import { foretelling, type GaugeError, gaugeError, mayErrAlike, surprises } from './gauge-error.ts';
import { type PriorFit, priorFit, priorSolve, type Sums, sumsOf } from './prior-fit.ts';
import type { Still } from './still.ts';
import type { Columns } from './tank-columns.ts';

/** Huber's bend of the weights: 95 % efficiency with normal noise. */
const HUBER = 1.345;
const ROUNDS = 3;
/** After those, where neighbours err alike. */
const ALIKE_ROUNDS = 3;
/** A row so many deviations off tells nothing of how neighbours err. */
const GROSS = 4;

export interface TankFit extends PriorFit {
  readonly columns: Columns;
  readonly gauge: GaugeError;
  readonly widened: number;
  /** What is left of each row, mm. */
  readonly left: Float64Array;
}

interface Problem {
  readonly columns: Columns;
  readonly y: Float64Array;
  readonly rows: readonly Still[];
  /** Where each row stands, litres, and what is left of it, mm: found in turn with the coefficients. */
  readonly level: Float64Array;
  readonly left: Float64Array;
  readonly capacityLitres: number;
}

/**
 * Gauge less book as a sum of the columns, rows over the gauge's noise in litres; noise, weights and levels are found in turn. Rows far
 * off lose weight (P. J. Huber, 'Robust estimation of a location parameter', 1964). `level` is where each row stands to begin with; from
 * then on it is the gauge's word less what is left, so that a reading's own noise does not get into the columns that should explain it.
 * Where what is left shows that neighbours err alike, a row counts by what it adds to those before it, and the columns are those of `daily`.
 */
export function fitTank(
  columns: Columns,
  daily: () => Columns,
  y: Float64Array,
  rows: readonly Still[],
  level: Float64Array,
  capacityLitres: number,
): TankFit | undefined {
  const p: Problem = { columns, y, rows, level, left: new Float64Array(y.length), capacityLitres };
  const { design, perMm, before } = columns;
  const [n, width] = [y.length, before.length];
  let wholeMm = 1;
  const off = new Float64Array(n).fill(1);
  const weight = new Float64Array(n);
  const room = new Array<number>(n).fill(0);
  const sums = (): Sums => {
    columns.setLevel(level);
    for (let i = 0; i < n; i++) weight[i] = (off[i] as number) / (wholeMm * (perMm[i] as number)) ** 2;
    return sumsOf(design, width, y, weight);
  };
  const deviations = () => p.left.map((mm) => mm / wholeMm);
  for (let round = 0; round < ROUNDS; round++) {
    const coefficients = priorSolve(sums(), before);
    if (!coefficients) return undefined;
    follow(p, coefficients);
    wholeMm = spreadOfMiddle(p.left, n - width, room);
    for (let i = 0; i < n; i++) {
      const z = Math.abs(p.left[i] as number) / wholeMm;
      off[i] = z <= HUBER ? 1 : HUBER / z;
    }
  }
  if (mayErrAlike(deviations())) {
    const alike = fitAlike({ ...p, columns: daily() });
    if (alike) return alike;
  }
  const fit = priorFit(sums(), before);
  if (!fit) return undefined;
  follow(p, fit.coefficients);
  wholeMm = spreadOfMiddle(p.left, n - width, room);
  const gauge = { wholeMm, shared: 0, hours: 0 };
  return { ...fit, columns, gauge, widened: widening(deviations(), rows), left: p.left };
}

/** What is left of each row after the coefficients, and the level that follows from it. */
function follow({ columns, y, rows, level, left, capacityLitres }: Problem, coefficients: readonly number[]): void {
  const { design, perMm } = columns;
  const n = y.length;
  left.set(y);
  for (const [j, coefficient] of coefficients.entries())
    for (let i = 0; i < n; i++) left[i] = (left[i] as number) - (design[j * n + i] as number) * coefficient;
  for (let i = 0; i < n; i++) {
    const rest = left[i] as number;
    left[i] = rest / (perMm[i] as number);
    const held = (rows[i] as Still).litres - rest;
    if (held > 0 && held < capacityLitres) level[i] = held;
  }
}

/** The same with an error that neighbours share, by generalised least squares. */
function fitAlike(p: Problem): TankFit | undefined {
  const { columns, y, rows, left } = p;
  const { design, perMm, before } = columns;
  const [n, width] = [y.length, before.length];
  const hours = Float64Array.from(rows, (r) => r.at / HOUR_MS);
  const none = new Float64Array(n);
  const ones = new Float64Array(n).fill(1);
  let [extra, gross] = [none, none];
  let found: { fit: PriorFit; gauge: GaugeError; z: Float64Array } | undefined;
  for (let round = 0; round < ALIKE_ROUNDS; round++) {
    const seen = gaugeError(left, hours, gross, found?.gauge);
    const gauge = { ...seen, wholeMm: seen.wholeMm * Math.sqrt(n / Math.max(1, n - width)) };
    columns.setLevel(p.level);
    // In deviations of the gauge, so that a row errs alike at every level; then less what those before it foretell.
    const scaled = new Float64Array(n * width);
    const target = new Float64Array(n);
    for (let i = 0; i < n; i++) {
      const per = 1 / ((perMm[i] as number) * gauge.wholeMm);
      target[i] = (y[i] as number) * per;
      for (let at = i; at < scaled.length; at += n) scaled[at] = (design[at] as number) * per;
    }
    const told = foretelling(gauge, hours, extra);
    surprises(told, scaled);
    surprises(told, target);
    const fit = priorFit(sumsOf(scaled, width, target, ones), before);
    if (!fit) return undefined;
    follow(p, fit.coefficients);
    const z = left.map((mm) => mm / gauge.wholeMm);
    const plain = foretelling(gauge, hours, none);
    surprises(plain, z);
    const beyond = (limit: number) =>
      z.map((v, i) => (Math.abs(v) > limit ? (plain.deviation[i] as number) ** 2 * (Math.abs(v) / limit - 1) : 0));
    extra = beyond(HUBER);
    gross = beyond(GROSS).map((v) => v * 100);
    found = { fit, gauge, z };
  }
  return found && { ...found.fit, columns, gauge: found.gauge, widened: widening(found.z, rows), left };
}

/** 1.4826 x the median of |left|, with the degrees of freedom that the columns have used. `room` is overwritten: as many numbers. */
function spreadOfMiddle(left: Float64Array, freedom: number, room: number[]): number {
  for (let i = 0; i < left.length; i++) room[i] = Math.abs(left[i] as number);
  const middle = left.length >> 1;
  quickselect(room, middle);
  return Math.max(1e-6, 1.4826 * (room[middle] as number) * Math.sqrt(left.length / Math.max(1, freedom)));
}

/**
 * Noise that is free from reading to reading adds up over a day as the root of their number. Where it adds up to more, neighbours err alike
 * beyond what was found of it and there are fewer independent readings than rows: intervals grow by this factor (the idea of a
 * cluster-robust error, by day). `z` in deviations.
 */
function widening(z: Float64Array, rows: readonly Still[]): number {
  let [found, sum, count, day] = [0, 0, 0, Number.NaN];
  for (let i = 0; i < z.length; i++) {
    const next = Math.floor((rows[i] as Still).at / DAY_MS);
    if (next !== day) {
      found += sum * sum;
      sum = 0;
      day = next;
    }
    // As the weights have it: a row far off counts no more than the bend.
    sum += Math.max(-3, Math.min(3, z[i] as number));
    count++;
  }
  return Math.max(1, Math.sqrt((found + sum * sum) / count));
}
