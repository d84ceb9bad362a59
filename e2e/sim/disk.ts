import type { Entry } from '@fillwright/journal';
import type { Shelf, SignedText } from '@fillwright/site';

/** The power goes at this very instruction: nothing after it happens, whoever would catch it. */
export class PowerCut extends Error {
  constructor() {
    super('the power went');
  }
}

/** What a write comes to. `cutKept`: it was on the disk when the power went, but nobody was told. */
export type Fate = 'ok' | 'cutLost' | 'cutKept' | 'full' | 'failedLost' | 'failedKept';

export interface JournalRows {
  readonly box: string;
  readonly epoch: string;
  /** Kept entries, ascending; the first has sequence number `anchor` + 1. */
  readonly entries: readonly Entry[];
  readonly state: ReadonlyMap<string, string>;
  readonly last: number;
  readonly hash: Buffer;
  readonly acknowledged: number;
  readonly anchor: number;
  readonly anchorHash: Buffer;
}

export interface ShelfRows {
  readonly shelf: Shelf | undefined;
  readonly bundles: ReadonlyMap<number, SignedText>;
}

/**
 * What is on a box's disk and would be there after a power cut. Rows are never changed in place, so that a copy of the disk is a copy
 * of this record. Each write asks for its fate; a transaction is there whole or not at all, which the crash images show of the real one.
 */
export interface Disk {
  journal: JournalRows | undefined;
  shelf: ShelfRows;
  /** What becomes of the next write. */
  fate: () => Fate;
}

export const emptyDisk = (fate: () => Fate): Disk => ({
  journal: undefined,
  shelf: { shelf: undefined, bundles: new Map() },
  fate,
});

/** Carries out a write as fate will have it; false when it was refused. @throws PowerCut */
export function write(disk: Disk, change: () => void): 'ok' | 'full' | 'failed' {
  const fate = disk.fate();
  if (fate === 'cutLost') throw new PowerCut();
  if (fate === 'full') return 'full';
  if (fate === 'failedLost') return 'failed';
  change();
  if (fate === 'cutKept') throw new PowerCut();
  return fate === 'failedKept' ? 'failed' : 'ok';
}
