/**
 * Wrong PINs and the lock, derived from the attempts alone. An attempt counts when it is written, before it is compared, so that pulling
 * the plug gives nobody another guess; a right one sets the count back.
 */
export interface Tries {
  /** Attempts since the last right one. */
  readonly wrong: number;
  /** The last attempt that counted, ms UTC. */
  readonly at: number;
  /** Whether the last attempt fell into a lock, and so is not compared at all. */
  readonly locked: boolean;
}

export interface LockRule {
  readonly tries: number;
  readonly lockMin: number;
}

export const noTries: Tries = { wrong: 0, at: 0, locked: false };

/** The clock going back makes a lock longer, never shorter. */
export function attempted(before: Tries, at: number, rule: LockRule): Tries {
  const full = before.wrong >= rule.tries;
  if (full && at < before.at + rule.lockMin * 60_000) return { ...before, locked: true };
  return { wrong: full ? 1 : before.wrong + 1, at, locked: false };
}

/** What to tell after a wrong comparison: whether this one was the last allowed. */
export const afterWrong = (tries: Tries, rule: LockRule): 'wrong' | 'locked' =>
  tries.wrong >= rule.tries ? 'locked' : 'wrong';
