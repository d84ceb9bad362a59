/** What the proofs of one hose say together. */
export interface Proof {
  /** Milliseconds UTC. */
  readonly at: number;
  readonly verdict: 'passes' | 'fails' | 'incomplete';
  /** Thousandths of a pulse per gallon or litre: set while it was run, and what would have been right. */
  readonly pulsesMilli: number;
  readonly truePulsesMilli: number | null;
}

const DAY_MS = 86_400_000;
const YEAR_MS = 365.2425 * DAY_MS;
/** A year from proof to proof: common practice, no source; the authority says what holds. */
export const PROVE_EVERY_DAYS = 365;
/** A straight line needs so many proofs, over so long. */
const LEAST_PROOFS = 3;
const LEAST_SPAN_MS = 30 * DAY_MS;

export interface Drift {
  /** How much more the meter gives per pulse than at its first proof, percent; whatever pulses were set, so adjustments do not show. */
  readonly points: readonly { readonly at: number; readonly percent: number }[];
  /** Slope of the straight line through them by least squares, percent a year; null with too few or too close together. */
  readonly perYear: number | null;
}

/** Drift of a meter over its history. Plus: it comes to give more. Proofs in any order; those without a full-flow draft are left out. */
export function meterDrift(proofs: readonly Proof[]): Drift {
  const told = proofs
    .flatMap((p) => (p.truePulsesMilli === null ? [] : [{ at: p.at, true: p.truePulsesMilli }]))
    .sort((a, b) => a.at - b.at);
  const [first] = told;
  if (!first) return { points: [], perYear: null };
  const points = told.map((p) => ({ at: p.at, percent: 100 * (first.true / p.true - 1) }));
  const last = points.at(-1) as { at: number };
  if (points.length < LEAST_PROOFS || last.at - first.at < LEAST_SPAN_MS) return { points, perYear: null };
  const years = points.map((p) => (p.at - first.at) / YEAR_MS);
  const meanX = years.reduce((a, b) => a + b, 0) / years.length;
  const meanY = points.reduce((a, p) => a + p.percent, 0) / points.length;
  let [xx, xy] = [0, 0];
  for (const [i, p] of points.entries()) {
    const x = (years[i] as number) - meanX;
    xx += x * x;
    xy += x * (p.percent - meanY);
  }
  return { points, perYear: xy / xx };
}

/** How a meter stands at a moment. */
export type MeterState =
  /** Never proved to the end. */
  | 'never'
  /** The last whole run failed. */
  | 'failed'
  /** Other pulses are set than those that were proved: a proof must follow. */
  | 'changed'
  /** Proved, and longer ago than it may be. */
  | 'due'
  | 'proved';

/** Incomplete runs prove nothing and are passed over. `pulsesMilli` is what is set now. */
export function meterStanding(
  proofs: readonly Proof[],
  pulsesMilli: number,
  at: number,
  everyDays: number = PROVE_EVERY_DAYS,
): { readonly state: MeterState; readonly last: Proof | null; readonly dueAt: number | null } {
  const whole = proofs.filter((p) => p.verdict !== 'incomplete' && p.at <= at);
  const last = whole.reduce<Proof | null>((a, p) => (a === null || p.at >= a.at ? p : a), null);
  if (last === null) return { state: 'never', last, dueAt: null };
  if (last.pulsesMilli !== pulsesMilli) return { state: 'changed', last, dueAt: null };
  if (last.verdict === 'fails') return { state: 'failed', last, dueAt: null };
  const dueAt = last.at + everyDays * DAY_MS;
  return { state: at >= dueAt ? 'due' : 'proved', last, dueAt };
}
