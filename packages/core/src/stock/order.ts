import type { Microlitres } from '../units/index.ts';

export interface Load {
  /** Places in the list of compartments that are to be emptied into the tank, whole. */
  readonly compartments: readonly number[];
  readonly volume: Microlitres;
}

const MOST_COMPARTMENTS = 12;

/**
 * Which of a lorry's compartments fit into the room up to the safe fill: the most fuel that does not pass it, compartments emptied whole.
 * 40 CFR 280.30(a): the room must be more than what is delivered, looked at before, and 280.20(c): at most 95 % full, or an alarm at
 * 90 %. The overfill device and the person at the tank decide. At most twelve compartments. @throws RangeError beyond.
 */
export function loadThatFits(room: Microlitres, compartments: readonly Microlitres[]): Load {
  if (compartments.length > MOST_COMPARTMENTS)
    throw new RangeError(`a lorry has at most ${MOST_COMPARTMENTS} compartments`);
  let [best, bestSum] = [0, 0];
  for (let set = 1; set < 2 ** compartments.length; set++) {
    let sum = 0;
    for (const [i, volume] of compartments.entries()) if (set & (1 << i)) sum += volume;
    if (sum <= room && sum > bestSum) [best, bestSum] = [set, sum];
  }
  return { compartments: [...compartments.keys()].filter((i) => best & (1 << i)), volume: bestSum };
}
