import { type Effect, type IslandEvent, type IslandState, step } from '@fillwright/core/island';

type WithoutAt<E> = E extends unknown ? Omit<E, 'at'> : never;
/** An event whose moment the loop gives. */
type Happening = WithoutAt<IslandEvent>;
/** `agoMs`: so long ago it happened, where that is known and not now. */
export type Feed = (happening: Happening, agoMs?: number) => void;

export interface Loop {
  readonly feed: Feed;
  readonly state: IslandState;
  /** Nothing is heard any more. */
  close(): void;
}

export interface LoopOptions {
  readonly begin: IslandState;
  readonly now: () => number;
  /** Carries out one effect; what it answers goes behind what already waits. */
  readonly carryOut: (effect: Effect, feed: Feed) => void;
  /** When nothing waits any more. */
  readonly settled: (state: IslandState) => void;
  /** A fault of the program: whoever hears it closes every hose. */
  readonly fault: (error: unknown) => void;
}

/** Runs the machine: one event at a time, its effects in their order, then the next. */
export function openLoop({ begin, now, carryOut, settled, fault }: LoopOptions): Loop {
  let state = begin;
  let busy = false;
  let dead = false;
  const waiting: IslandEvent[] = [];

  function feed(happening: Happening, agoMs = 0): void {
    if (dead) return;
    waiting.push({ ...happening, at: now() - Math.round(agoMs) } as IslandEvent);
    if (busy) return;
    try {
      busy = true;
      for (let event = waiting.shift(); event; event = waiting.shift()) {
        const next = step(state, event);
        state = next.state;
        for (const effect of next.effects) carryOut(effect, feed);
      }
      busy = false;
      settled(state);
    } catch (error) {
      dead = true;
      fault(error);
    }
  }

  return {
    feed,
    get state() {
      return state;
    },
    close() {
      dead = true;
    },
  };
}
