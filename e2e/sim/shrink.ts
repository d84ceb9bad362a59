import type { Fault } from './faults.ts';
import { type Outcome, runWorld } from './world.ts';

/** Leaves out faults, halves first, as long as the same promise still breaks; at most `tries` runs. */
export async function shrink(outcome: Outcome, tries = 60): Promise<readonly Fault[]> {
  const { seed, failure } = outcome;
  let least = outcome.faults;
  let left = tries;
  for (let size = Math.ceil(least.length / 2); size >= 1 && left > 0; size = size === 1 ? 0 : Math.ceil(size / 2)) {
    for (let from = 0; from < least.length && left > 0; left--) {
      const fewer = [...least.slice(0, from), ...least.slice(from + size)];
      const run = await runWorld({ seed, faults: fewer });
      if (run.failure?.invariant === failure?.invariant) least = fewer;
      else from += size;
    }
  }
  return least;
}
