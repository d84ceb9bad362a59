/**
 * A pulser's edges as counts and doubts. `single`: one contact, a pulse from each rise. `two`: two channels a quarter turn apart
 * (quadrature); forwards A leads B: 00, 10, 11, 01, 00, and a pulse is one whole turn of that. Pure; whoever asks stops the hose at a doubt.
 */
export type PulserKind = 'single' | 'two';

export interface PulserSetup {
  readonly kind: PulserKind;
  /** The fastest that the hose can make, pulses per 1,000 s (see `pulseRate`). */
  readonly mostPer1000s: number;
}

/** Levels as they are after something changed; `b` stays 0 where there is one channel. Microseconds by a clock that never goes back. */
export interface Edge {
  readonly atUs: number;
  readonly a: 0 | 1;
  readonly b: 0 | 1;
}

/**
 * `missed`: both channels changed at once, so an edge between was not seen. `extra`: an edge was told and nothing changed. `reversed`: the
 * pulser ran back by a whole pulse. `stuck`: one channel goes to and fro and the other stands, so what flows is not counted. `chatter`:
 * edges come faster than fuel can flow. `order`: the clock of the edges went back.
 */
export type PulserDoubt = 'missed' | 'extra' | 'reversed' | 'stuck' | 'chatter' | 'order';
export const PULSER_DOUBTS: Readonly<Record<PulserDoubt, string>> = {
  missed: 'both channels changed at once: an edge was missed',
  extra: 'an edge was told and nothing changed',
  reversed: 'the pulser ran back by a whole pulse',
  stuck: 'one channel stands still while the other goes to and fro',
  chatter: 'edges come faster than fuel can flow',
  order: 'the clock of the edges went back',
};

export interface PulserState {
  readonly a: 0 | 1;
  readonly b: 0 | 1;
  readonly atUs: number;
  /** Whole pulses forwards; never falls. */
  readonly count: number;
  /** Quarter turns (of one channel: half turns) since the count last grew; below 0 when it ran back. */
  readonly part: number;
  /** Which channel changed last, and how often in a row it did while the other stood. */
  readonly last: 'a' | 'b' | null;
  readonly alone: number;
  /** Grows with edges that come too fast, shrinks with good pulses. */
  readonly fast: number;
}

export interface PulserStep {
  readonly state: PulserState;
  /** Pulses added by this edge: 0 or 1. */
  readonly added: 0 | 1;
  readonly doubt?: PulserDoubt;
}

const QUARTERS = 4;
/** A channel that changes so often alone is not vibration at rest but a partner that stands. */
const MOST_ALONE = 8;
/** A bounce weighs so much, a good pulse takes one off; at this sum it is chatter. Common practice, no source. */
const BOUNCE = 4;
const MOST_BOUNCE = 12;
/** Edges nearer than this part of the shortest time between two good ones are bounces. */
const BOUNCE_PART = 4;

export const beginPulser = (edge: Edge, count = 0): PulserState => ({
  ...edge,
  count,
  part: 0,
  last: null,
  alone: 0,
  fast: 0,
});

/** The shortest time between two edges that fuel can make, microseconds, at half as much again as the fastest rate. */
export function shortestEdgeUs(setup: PulserSetup): number {
  const edges = setup.kind === 'two' ? QUARTERS : 2;
  return Math.floor(1_000_000_000 / (1.5 * setup.mostPer1000s * edges));
}

/** Where two levels stand on the forward turn. */
const placeOf = (a: 0 | 1, b: 0 | 1): number => (a === 1 ? (b === 1 ? 2 : 1) : b === 1 ? 3 : 0);

/** Takes the next edge. In doubt nothing is added for it; the state goes on from its levels. */
export function takeEdge(setup: PulserSetup, before: PulserState, edge: Edge): PulserStep {
  const base = { ...before, a: edge.a, b: setup.kind === 'two' ? edge.b : (0 as const), atUs: edge.atUs };
  if (edge.atUs < before.atUs) return { state: { ...base, atUs: before.atUs }, added: 0, doubt: 'order' };
  const tooFast = edge.atUs - before.atUs < shortestEdgeUs(setup) / BOUNCE_PART;
  const fast = tooFast ? before.fast + BOUNCE : before.fast;
  if (fast >= MOST_BOUNCE) return { state: { ...base, fast: 0 }, added: 0, doubt: 'chatter' };
  return setup.kind === 'two' ? twoPhase({ ...base, fast }, before) : single({ ...base, fast }, before, tooFast);
}

function twoPhase(state: PulserState, before: PulserState): PulserStep {
  const step = (placeOf(state.a, state.b) - placeOf(before.a, before.b) + QUARTERS) % QUARTERS;
  if (step === 0) return { state, added: 0, doubt: 'extra' };
  if (step === 2) return { state: { ...state, last: null, alone: 0 }, added: 0, doubt: 'missed' };
  const last = state.a === before.a ? 'b' : 'a';
  const alone = last === before.last ? before.alone + 1 : 0;
  const part = before.part + (step === 1 ? 1 : -1);
  if (part <= -QUARTERS) return { state: { ...state, part: 0, last, alone: 0 }, added: 0, doubt: 'reversed' };
  if (alone >= MOST_ALONE) return { state: { ...state, part, last, alone: 0 }, added: 0, doubt: 'stuck' };
  if (part < QUARTERS) return { state: { ...state, part, last, alone }, added: 0 };
  return { state: counted({ ...state, part: 0, last, alone }), added: 1 };
}

function single(state: PulserState, before: PulserState, tooFast: boolean): PulserStep {
  if (state.a === before.a) return { state, added: 0, doubt: 'extra' };
  if (state.a === 0 || tooFast) return { state, added: 0 };
  return { state: counted(state), added: 1 };
}

const counted = (state: PulserState): PulserState => ({
  ...state,
  count: state.count + 1,
  fast: Math.max(0, state.fast - 1),
});
