/** Time for a simulated yard: virtual, where it leaps from one deed to the next, or paced, where it runs with the wall's. */
export interface Clock {
  /** Milliseconds UTC. */
  now(): number;
  /** Calls `deed` once, `ms` later by this clock; returns what takes it back. */
  after(ms: number, deed: () => void): () => void;
}

export interface VirtualClock extends Clock {
  /** Does the earliest deed; false when there is none. Deeds of one moment are done in the order in which they were asked for. */
  leap(): boolean;
  /** Does everything that is due until `at`, then stands at `at`. */
  runUntil(at: number): void;
}

interface Deed {
  readonly at: number;
  readonly n: number;
  readonly deed: () => void;
  gone: boolean;
}

export function virtualClock(start: number): VirtualClock {
  let now = start;
  let n = 0;
  // A binary heap by (moment, order of asking).
  const heap: Deed[] = [];
  const before = (a: Deed, b: Deed) => a.at < b.at || (a.at === b.at && a.n < b.n);
  const at = (i: number) => heap[i] as Deed;
  const swap = (i: number, j: number) => {
    const x = at(i);
    heap[i] = at(j);
    heap[j] = x;
  };
  const push = (d: Deed) => {
    heap.push(d);
    for (let i = heap.length - 1; i > 0; ) {
      const up = (i - 1) >> 1;
      if (!before(at(i), at(up))) return;
      swap(i, up);
      i = up;
    }
  };
  const pop = (): Deed | undefined => {
    const top = heap[0];
    const last = heap.pop();
    if (!top || !last || heap.length === 0) return top;
    heap[0] = last;
    for (let i = 0; ; ) {
      const left = 2 * i + 1;
      if (left >= heap.length) return top;
      const least = left + 1 < heap.length && before(at(left + 1), at(left)) ? left + 1 : left;
      if (!before(at(least), at(i))) return top;
      swap(i, least);
      i = least;
    }
  };
  const trim = () => {
    while (heap[0]?.gone) pop();
  };
  const leap = () => {
    trim();
    const d = pop();
    if (!d) return false;
    now = Math.max(now, d.at);
    d.gone = true;
    d.deed();
    return true;
  };
  return {
    now: () => now,
    after(ms, deed) {
      const d: Deed = { at: now + Math.max(0, ms), n: n++, deed, gone: false };
      push(d);
      return () => {
        d.gone = true;
      };
    },
    leap,
    runUntil(until) {
      for (trim(); (heap[0]?.at ?? Number.POSITIVE_INFINITY) <= until; trim()) leap();
      now = Math.max(now, until);
    },
  };
}

/** What a paced clock stands on; `globalThis` and `performance.now` in a process. */
export interface Wall {
  monotonicMs(): number;
  setTimeout(deed: () => void, ms: number): unknown;
  clearTimeout(handle: never): void;
}

/** Runs `pace` times as fast as the wall, from `start`. Pace 1 is real time. Whatever watches the yard must use the same clock. */
export function pacedClock(start: number, pace: number, wall: Wall): Clock {
  if (!(pace > 0)) throw new RangeError('pace must be above zero');
  const began = wall.monotonicMs();
  return {
    now: () => Math.round(start + (wall.monotonicMs() - began) * pace),
    after(ms, deed) {
      const handle = wall.setTimeout(deed, Math.max(0, ms) / pace);
      return () => wall.clearTimeout(handle as never);
    },
  };
}
