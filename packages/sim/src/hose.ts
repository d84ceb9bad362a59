import type { PulserKind } from '@fillwright/core/metering';
import type { Random } from './random.ts';

/** How one hose behaves. Volumes in uL, flows in uL a minute, times in ms. */
export interface HoseShape {
  readonly id: string;
  readonly tanks: readonly string[];
  readonly flowUlPerMin: number;
  /** True pulses per microlitre; a meter that is out of true differs from what the fleet declares. */
  readonly pulsesPerUl: number;
  /** Mean and deviation of the time that the valve takes from being told to being shut. */
  readonly lagMs: number;
  readonly lagDeviationMs: number;
  /** How its pulser is read; without it whole pulses are counted as they come. */
  readonly pulser?: PulserKind;
  /** Low flow as a share of the rated one. */
  readonly lowShare: number;
}

export interface HosePhysics {
  readonly shape: HoseShape;
  /** Whether the valve was told to open. */
  open: boolean;
  low: boolean;
  out: boolean;
  /** How far the person's hand opens the nozzle, 0 to 1. */
  hand: number;
  /** uL a minute that run though the valve is shut. */
  leak: number;
  flow: number;
  /** Until when a valve that was told to shut still stands as it stood. */
  shutsAt: number;
  fraction: number;
  count: number;
  /** Everything that ever came out, uL, not rounded: what a prover would show. */
  delivered: number;
}

export const hosePhysics = (shape: HoseShape, count: number): HosePhysics => ({
  shape,
  open: false,
  low: false,
  out: false,
  hand: 0,
  leak: 0,
  flow: 0,
  shutsAt: 0,
  fraction: 0,
  count,
  delivered: 0,
});

/** The valve is told to shut; it takes a while, never less than 20 ms. */
export function shut(h: HosePhysics, at: number, random: Random): void {
  if (!h.open) return;
  h.open = false;
  h.shutsAt = at + Math.max(20, random.normal(h.shape.lagMs, h.shape.lagDeviationMs));
}

const RISE_MS = 1_500;
const FALL_MS = 800;
const SHUT_MS = 120;

/** Lets `ms` pass and returns what came out, uL. The flow moves evenly towards what valve, hand and supply allow. */
export function pass(h: HosePhysics, at: number, ms: number, supply: boolean): number {
  const rated = h.shape.flowUlPerMin;
  const valve = h.open || at < h.shutsAt;
  const wanted = valve && h.out && supply ? rated * Math.min(h.hand, h.low ? h.shape.lowShare : 1) : 0;
  const goal = wanted === 0 && h.leak > 0 && h.out && supply ? h.leak : wanted;
  const span = goal > h.flow ? RISE_MS : valve ? FALL_MS : SHUT_MS;
  const most = (rated * ms) / span;
  const before = h.flow;
  h.flow = Math.abs(goal - before) <= most ? goal : before + Math.sign(goal - before) * most;
  const ul = (((before + h.flow) / 2) * ms) / 60_000;
  h.delivered += ul;
  h.fraction += ul * h.shape.pulsesPerUl;
  const whole = Math.floor(h.fraction);
  h.fraction -= whole;
  h.count += whole;
  return ul;
}
