import {
  beginPulser,
  type Edge,
  PULSER_DOUBTS,
  type PulserKind,
  type PulserState,
  takeEdge,
} from '@fillwright/core/metering';
import type { Random } from './random.ts';

/** What ails a pulser. `stuckA`, `stuckB`: a channel that stands; `missed`: an edge now and then is not seen. */
export type PulserFault = 'none' | 'chatter' | 'stuckA' | 'stuckB' | 'missed' | 'reversed';

/** A shaft with contacts, and the decoder that reads them: core's own, as in a box with fast inputs. */
export interface SimulatedPulser {
  fault: PulserFault;
  readonly count: number;
  /** Turns the shaft to so many pulses in all by `atMs`; returns the first doubt, in words. */
  turn(pulses: number, atMs: number): string | undefined;
}

const FORWARD = [
  [0, 0],
  [1, 0],
  [1, 1],
  [0, 1],
] as const;

export function simulatedPulser(
  kind: PulserKind,
  mostPer1000s: number,
  count: number,
  random: Random,
): SimulatedPulser {
  const setup = { kind, mostPer1000s };
  const perPulse = kind === 'two' ? 4 : 2;
  let place = Math.round(count * perPulse);
  let at = 0;
  let seen: Edge = { atUs: 0, a: 0, b: 0 };
  let state: PulserState = beginPulser(seen, count);
  let back = 0;
  let doubt: string | undefined;
  const self = {
    fault: 'none' as PulserFault,
    get count() {
      return state.count;
    },
    turn(pulses: number, atMs: number) {
      doubt = undefined;
      const goal = Math.floor(pulses * perPulse);
      const steps = goal - place;
      for (let i = 1; i <= steps; i++) {
        place++;
        edge(Math.round((at + ((atMs - at) * i) / steps) * 1_000));
      }
      at = atMs;
      return doubt;
    },
  };

  function edge(atUs: number): void {
    if (self.fault === 'missed' && random.chance(0.02)) return;
    if (self.fault === 'reversed') back += 2;
    const turned = (((place - back) % 4) + 4) % 4;
    const [a, b] = kind === 'two' ? (FORWARD[turned] as readonly [0 | 1, 0 | 1]) : ([(place % 2) as 0 | 1, 0] as const);
    tell({ atUs, a, b });
    if (self.fault === 'chatter')
      for (const after of [20, 40]) tell({ atUs: atUs + after, a: after === 20 ? ((1 - a) as 0 | 1) : a, b });
  }
  function tell({ atUs, a, b }: Edge): void {
    const now: Edge = { atUs, a: self.fault === 'stuckA' ? seen.a : a, b: self.fault === 'stuckB' ? seen.b : b };
    // An input tells only what changed.
    if (now.a === seen.a && now.b === seen.b) return;
    seen = now;
    const next = takeEdge(setup, state, now);
    state = next.state;
    if (next.doubt) doubt ??= PULSER_DOUBTS[next.doubt];
  }
  return self;
}
