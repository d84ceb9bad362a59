import type { Microlitres } from '../units/index.ts';

export interface Load {
  /** Places in the list of compartments that are to be emptied into the tank, whole. */
  readonly compartments: readonly number[];
  readonly volume: Microlitres;
  readonly room: Microlitres;
}

const MOST_COMPARTMENTS = 12;

/**
 * Which of a lorry's compartments fit: the most fuel that does not pass the safe fill, compartments emptied whole. `held`: what the tank may
 * hold when the lorry comes, at most (what is there now, when nothing is sure to be drawn before). `safeFill`: percent, at most 95 (40 CFR 280.20(c)).
 * 40 CFR 280.30(a): the room must be more than what is delivered, looked at before; the overfill device and the person at the tank decide.
 */
export function loadThatFits(
  tank: { readonly capacity: Microlitres; readonly held: Microlitres; readonly safeFill: number },
  compartments: readonly Microlitres[],
): Load {
  if (!(tank.safeFill > 0 && tank.safeFill <= 95)) throw new RangeError('safe fill is more than 0 % and at most 95 %');
  if (compartments.length > MOST_COMPARTMENTS)
    throw new RangeError(`a lorry has at most ${MOST_COMPARTMENTS} compartments`);
  const room = Math.max(0, Math.floor((tank.capacity / 100) * tank.safeFill) - tank.held);
  let [best, bestSum] = [0, 0];
  for (let set = 1; set < 2 ** compartments.length; set++) {
    let sum = 0;
    for (const [i, volume] of compartments.entries()) if (set & (1 << i)) sum += volume;
    if (sum <= room && sum > bestSum) [best, bestSum] = [set, sum];
  }
  return { compartments: [...compartments.keys()].filter((i) => best & (1 << i)), volume: bestSum, room };
}
