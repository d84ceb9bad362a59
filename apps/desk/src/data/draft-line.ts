import type { Problem } from '@fillwright/core/errors';
import { applyEdits, type Edit, type Fleet } from '@fillwright/core/fleet';
import type { Change } from '@fillwright/wire';

/** One change of this window that the hub has not acknowledged. */
export interface Waiting {
  readonly edits: readonly Edit[];
  readonly note: string;
}

/** Somebody else changed what one of our changes is about; ours is set aside until the person has looked. */
interface Clash {
  readonly mine: readonly Waiting[];
  readonly theirs: readonly Change[];
  readonly problem: Problem;
}

export interface DraftState {
  /** The draft with this window's waiting changes in it; undefined until it has been read. */
  readonly fleet: Fleet | undefined;
  /** The hub's draft, without them. */
  readonly settled: Fleet | undefined;
  /** The version of the hub's draft that `fleet` builds on. */
  readonly version: number;
  readonly base: number | null;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
  readonly waiting: readonly Waiting[];
  readonly keeping: 'kept' | 'sending' | 'unreachable';
  readonly clash: Clash | undefined;
  /** Why the draft could not be read, or the last change not be made. */
  readonly trouble: Problem | undefined;
}

export const EMPTY: DraftState = {
  fleet: undefined,
  settled: undefined,
  version: 0,
  base: null,
  canUndo: false,
  canRedo: false,
  waiting: [],
  keeping: 'kept',
  clash: undefined,
  trouble: undefined,
};

/** The line laid on a settled draft, and apart from it the changes that no longer fit. */
export function laidOn(
  settled: Fleet,
  line: readonly Waiting[],
): { part: Pick<DraftState, 'settled' | 'fleet' | 'waiting'>; lost: readonly Waiting[] } {
  let fleet = settled;
  const waiting: Waiting[] = [];
  const lost: Waiting[] = [];
  for (const change of line) {
    const next = applyEdits(fleet, change.edits);
    if (next.ok) {
      fleet = next.value;
      waiting.push(change);
    } else lost.push(change);
  }
  return { part: { settled, fleet, waiting }, lost };
}

/** A settled draft with changes that the hub made since; undefined when they do not follow from it. */
export function settledWith(settled: Fleet, changes: readonly Pick<Change, 'edits'>[]): Fleet | undefined {
  let fleet = settled;
  for (const change of changes) {
    const next = applyEdits(fleet, change.edits as Edit[]);
    if (!next.ok) return undefined;
    fleet = next.value;
  }
  return fleet;
}
