import { type Microlitres, pulsesWithin, type VolumeUnit } from '../units/index.ts';

/** What is known of how long a hose runs on after its valve is told to close at low flow. All in pulses. */
export interface Lag {
  /** The order goes out so many pulses ahead of the limit. */
  readonly ahead: number;
  /** The median of what was measured; what is assumed when nothing was. */
  readonly typical: number;
  /** Half the width within which nearly all closings fall: three robust standard deviations, at least one pulse. */
  readonly spread: number;
  /** How many closings it rests on. */
  readonly of: number;
  /** `assumed`: none or few were measured, and what is assumed holds where it is more. `learnt`: from five on. */
  readonly known: 'assumed' | 'learnt';
}

export interface LagHose {
  /** Rated, microlitres per minute. */
  readonly flowUlPerMin: number;
  /** Thousandths of a pulse per gallon or litre. */
  readonly pulsesPerMeasure: number;
}

/** Common practice, no source: a valve needs 0.4 s at low flow, low flow is a fifth of the rated one. */
const ASSUMED_MS = 400;
const LOW_FLOW_PART = 5;
/** A valve slower than this at full flow is not learnt but broken: what a hose is told ahead never passes it. */
const MOST_MS = 2_000;
const ENOUGH = 5;
/** Closings that are looked at; older ones are forgotten, so that a valve that ages is followed. */
export const KEPT_LAGS = 20;
/** Turns the median distance from the median into a standard deviation, for normal errors (1 / 0.6745; any text on robust statistics). */
const MAD_TO_DEVIATION = 1.4826;

const middle = (sorted: readonly number[]): number => {
  const at = Math.floor(sorted.length / 2);
  const upper = sorted[at] ?? 0;
  return sorted.length % 2 === 1 ? upper : ((sorted[at - 1] ?? 0) + upper) / 2;
};
const medianOf = (values: readonly number[]): number => middle([...values].sort((a, b) => a - b));

const flowing = (hose: LagHose, unit: VolumeUnit, ms: number): number => {
  const ul: Microlitres = Math.floor((hose.flowUlPerMin * ms) / 60_000);
  return pulsesWithin(ul, hose.pulsesPerMeasure, unit);
};

/**
 * Learns from the closings at the limit so far, newest last: pulses counted after the order to close, whole numbers of 0 or more.
 * Median and median distance from it: a nozzle shut by hand at that moment, or one stuck closing, moves neither. The order is given
 * ahead by median and spread together, so that a closing as wide as any of them still ends at the limit and one beyond is measured.
 * Bounded by what flows in 2 s at the rated flow. @throws RangeError for a number that is no count of pulses.
 */
export function learnLag(hose: LagHose, unit: VolumeUnit, lags: readonly number[]): Lag {
  for (const lag of lags)
    if (!Number.isSafeInteger(lag) || lag < 0) throw new RangeError(`a lag is a whole number of pulses, not ${lag}`);
  const assumed = flowing(hose, unit, ASSUMED_MS / LOW_FLOW_PART) + 1;
  const most = flowing(hose, unit, MOST_MS) + 1;
  const recent = lags.slice(-KEPT_LAGS);
  if (recent.length === 0) return { ahead: assumed, typical: assumed, spread: assumed, of: 0, known: 'assumed' };
  const typical = medianOf(recent);
  const deviation = MAD_TO_DEVIATION * medianOf(recent.map((lag) => Math.abs(lag - typical)));
  const spread = Math.max(1, Math.ceil(3 * deviation));
  const learnt = Math.min(most, Math.ceil(typical + spread));
  const known = recent.length < ENOUGH ? 'assumed' : 'learnt';
  return { ahead: known === 'learnt' ? learnt : Math.max(assumed, learnt), typical, spread, of: recent.length, known };
}

export interface CloseOrder {
  readonly limitPulses: number;
  /** Counted from arming: where the valve is told to close. */
  readonly stopAtPulses: number;
  /** Where it goes to low flow. */
  readonly slowAtPulses: number;
}

/** The valve goes to low flow so long, at rated flow, before it is told to close. */
const SLOW_MS = 2_000;

/** What a dispenser is ordered for a limit: never less than one pulse, so that a small limit can be drawn at all. */
export function closeOrder(hose: LagHose, unit: VolumeUnit, limitPulses: number, lag: Lag): CloseOrder {
  const stopAtPulses = Math.max(1, limitPulses - lag.ahead);
  return { limitPulses, stopAtPulses, slowAtPulses: Math.max(0, stopAtPulses - flowing(hose, unit, SLOW_MS)) };
}
