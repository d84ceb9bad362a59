import { err, ok, type Problem, problem, type Result } from '../errors/index.ts';
import { divideRounded, type Microlitres, NANOLITRES_PER_GALLON, type VolumeUnit } from '../units/index.ts';

/** A pulse counter that starts again from 0 after its last number, and what it may count at most. */
export interface CounterSetup {
  readonly bits: 16 | 32;
  /** The fastest rate that the hose can make, pulses per 1,000 s (see `pulseRate`). */
  readonly mostPer1000s: number;
}

export interface CounterState {
  /** The last reading. */
  readonly raw: number;
  /** Pulses counted since the state was begun, without the doubtful ones. */
  readonly total: number;
}

/**
 * Why a reading cannot be trusted: it stepped back; it fell to near 0, as after a restart; it leapt further than the hose can flow; or so
 * long was between two readings that a whole turn could have been missed.
 */
export type CounterDoubt = 'stepped back' | 'began anew' | 'leapt' | 'read too late';

export interface CounterStep {
  readonly state: CounterState;
  /** Pulses added to the total; 0 in doubt. */
  readonly added: number;
  readonly doubt?: CounterDoubt;
  /** In doubt: how far the reading stands from the last one, forwards around the turn; for the record, never for the ledger. */
  readonly unexplained?: number;
}

/** Margin on the rated rate, per cent, and pulses on top of it for a reading taken just before or after an edge: common practice, no source. */
const MARGIN_PERCENT = 25;
const MARGIN_PULSES = 4;

/**
 * Pulses per 1,000 s at a flow, rounded up. `flow` in microlitres per minute; `pulsesPerMeasureMilli` in thousandths of a pulse per
 * gallon or litre. 10 gal/min at 1,000 pulses/gal is 166.667 pulses/s.
 */
export function pulseRate(flow: Microlitres, pulsesPerMeasureMilli: number, unit: VolumeUnit): number {
  const nanolitres = unit === 'gal' ? NANOLITRES_PER_GALLON : 1_000_000_000n;
  // uL/min x 1000 nL/uL x pulses/1000 per unit / (nL per unit) / 60 s x 1000 s
  const n = BigInt(flow) * BigInt(pulsesPerMeasureMilli) * 1000n;
  const d = nanolitres * 60n;
  return Number((n + d - 1n) / d);
}

export const beginCount = (setup: CounterSetup, raw: number): Result<CounterState, Problem> =>
  isReading(setup, raw) ? ok({ raw, total: 0 }) : impossible(setup, raw);

/**
 * Takes the next reading. `elapsedMs`: time since the last one by a clock that never goes back, 0 or more.
 * In doubt nothing is added, the count goes on from the new reading, and whoever asked must stop the hose.
 * @returns FW-702 for a reading that this counter cannot give, FW-801 for a negative time.
 */
export function countOn(
  setup: CounterSetup,
  state: CounterState,
  raw: number,
  elapsedMs: number,
): Result<CounterStep, Problem> {
  if (!isReading(setup, raw)) return impossible(setup, raw);
  if (!Number.isSafeInteger(elapsedMs) || elapsedMs < 0)
    return err(
      problem('FW-801', { at: { field: 'elapsed' }, found: String(elapsedMs), expected: '0 or more whole ms' }),
    );
  const turn = 2 ** setup.bits;
  const forward = (raw - state.raw + turn) % turn;
  const possible = mostPulses(setup, elapsedMs);
  const doubt = doubtOf(forward, turn, possible, raw, state.raw);
  if (doubt) return ok({ state: { raw, total: state.total }, added: 0, doubt, unexplained: forward });
  return ok({ state: { raw, total: state.total + forward }, added: forward });
}

/** The most pulses that may come within a time, margin included. */
export function mostPulses(setup: CounterSetup, elapsedMs: number): number {
  const n = BigInt(setup.mostPer1000s) * BigInt(elapsedMs) * BigInt(100 + MARGIN_PERCENT);
  return Number(divideRounded(n, 100_000_000n)) + MARGIN_PULSES;
}

/** The longest time between two readings after which a turn can still not be missed, ms; poll at least twice as often. */
export function longestGapMs(setup: CounterSetup): number {
  const pulses = BigInt(2 ** (setup.bits - 1) - MARGIN_PULSES - 1);
  return Number((pulses * 100_000_000n) / (BigInt(setup.mostPer1000s) * BigInt(100 + MARGIN_PERCENT)));
}

function doubtOf(
  forward: number,
  turn: number,
  possible: number,
  raw: number,
  before: number,
): CounterDoubt | undefined {
  // More than half a turn possible: a step forward and one back look alike.
  if (possible >= turn / 2) return 'read too late';
  if (forward <= possible) return undefined;
  if (turn - forward <= possible) return 'stepped back';
  return raw < before && raw <= possible ? 'began anew' : 'leapt';
}

const isReading = (setup: CounterSetup, raw: number): boolean =>
  Number.isSafeInteger(raw) && raw >= 0 && raw < 2 ** setup.bits;

const impossible = (setup: CounterSetup, raw: number): Result<never, Problem> =>
  err(problem('FW-702', { at: { field: 'counter' }, found: String(raw), expected: `0 to ${2 ** setup.bits - 1}` }));
