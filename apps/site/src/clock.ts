/** Time as the box has it. Everything in the site that waits or stamps takes it from here, so that a test can own it. */
export interface Clock {
  /** How much faster than the world's clock it runs; 1 at a real site. */
  readonly pace: number;
  /** Milliseconds UTC, whole. */
  now(): number;
  /** Milliseconds since some moment; never goes back, whatever is done to the wall clock. */
  monotonic(): number;
  /** Calls once after `ms`; the answer calls it off. */
  after(ms: number, call: () => void): () => void;
}

/**
 * The machine's own clock. Another `pace` than 1 lets a practice yard live faster, from now on, or from `stood` (ms UTC) where it had come further
 * in an earlier run: its time never goes back.
 */
export function realClock(pace = 1, stood = 0): Clock {
  const wall = Math.max(Date.now(), stood);
  const begin = performance.now();
  const passed = () => (performance.now() - begin) * pace;
  return {
    pace,
    now: pace === 1 ? () => Date.now() : () => Math.floor(wall + passed()),
    monotonic: passed,
    after(ms, call) {
      const timer = setTimeout(call, Math.min(ms / pace, 2_147_483_647));
      return () => clearTimeout(timer);
    },
  };
}

/** Calls again and again, `ms` after the last call has returned, until called off. */
export function every(clock: Clock, ms: number, call: () => void): () => void {
  let off = clock.after(ms, function again() {
    call();
    off = clock.after(ms, again);
  });
  return () => off();
}

/** The world's time of a clock that runs at another pace: what waits for an office or a network waits by it. */
export const worldClock = (clock: Clock): Clock => ({
  pace: 1,
  now: clock.now,
  monotonic: () => clock.monotonic() / clock.pace,
  after: (ms, call) => clock.after(ms * clock.pace, call),
});

/** The same clock, whose calls report what they throw. */
export const guarded = (clock: Clock, fault: (error: unknown) => void): Clock => ({
  ...clock,
  after: (ms, call) =>
    clock.after(ms, () => {
      try {
        call();
      } catch (error) {
        fault(error);
      }
    }),
});
