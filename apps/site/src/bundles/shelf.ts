/**
 * Which bundles lie on the box and which one it runs. Pure: each function gives the next shelf; writing it whole is what makes a
 * switch happen. A revision at or below `newest` is never taken, also not one that was tried and left.
 */
export interface Shelf {
  readonly running: number | null;
  readonly runningSince: number | null;
  /** The last one that was confirmed before this one. */
  readonly before: number | null;
  /** Checked and here, but a hose is busy. */
  readonly waiting: number | null;
  readonly newest: number;
  /** Set while the running one is not confirmed: how often the box has started under it. */
  readonly trialStarts: number | null;
  readonly refused: { readonly revision: number; readonly code: string; readonly cause: string } | null;
}

/** So many starts without being confirmed mean that the box falls over under this bundle. */
const MOST_TRIAL_STARTS = 3;

export const emptyShelf: Shelf = {
  running: null,
  runningSince: null,
  before: null,
  waiting: null,
  newest: 0,
  trialStarts: null,
  refused: null,
};

export const laidUp = (shelf: Shelf, revision: number): Shelf => ({
  ...shelf,
  waiting: revision,
  refused: null,
});

export function switched(shelf: Shelf, revision: number, at: number): Shelf {
  if (revision <= shelf.newest) throw new RangeError(`revision ${revision} is not newer than ${shelf.newest}`);
  // An unconfirmed one is no ground to fall back to.
  const before = shelf.trialStarts === null ? shelf.running : shelf.before;
  return { ...shelf, running: revision, runningSince: at, before, waiting: null, newest: revision, trialStarts: 1 };
}

export const confirmed = (shelf: Shelf): Shelf =>
  shelf.trialStarts === null ? shelf : { ...shelf, trialStarts: null };

export const refusedOne = (shelf: Shelf, revision: number, problem: { code: string; cause: string }): Shelf => ({
  ...shelf,
  waiting: shelf.waiting === revision ? null : shelf.waiting,
  refused: { revision, code: problem.code, cause: problem.cause },
});

/** Counts a start under a bundle on trial. */
export const startedAgain = (shelf: Shelf): Shelf =>
  shelf.trialStarts === null ? shelf : { ...shelf, trialStarts: shelf.trialStarts + 1 };

export const worthless = (shelf: Shelf): boolean => shelf.trialStarts !== null && shelf.trialStarts > MOST_TRIAL_STARTS;

/** Back to the last good one; unchanged when there is none. */
export function fellBack(shelf: Shelf, at: number, cause: string): Shelf {
  if (shelf.before === null || shelf.running === null) return shelf;
  return {
    ...shelf,
    running: shelf.before,
    runningSince: at,
    before: null,
    trialStarts: null,
    refused: { revision: shelf.running, code: 'FW-306', cause },
  };
}
