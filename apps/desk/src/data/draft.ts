import type { Problem, Result } from '@fillwright/core/errors';
import type { Edit, Fleet } from '@fillwright/core/fleet';
import { useSyncExternalStore } from 'react';
import type { Waiting } from './draft-line.ts';
import { readBeside } from './draft-read.ts';
import { draftStore } from './draft-store.ts';
import { hub } from './hub.ts';

const KEY = 'fillwright waiting changes';

/** The draft of this window. */
export const draft = draftStore({
  hub,
  readDraft: readBeside,
  pause: (ms) => new Promise((done) => setTimeout(done, ms)),
  remember: (waiting) => {
    try {
      if (waiting.length === 0) sessionStorage.removeItem(KEY);
      else sessionStorage.setItem(KEY, JSON.stringify(waiting));
    } catch {
      // Too large for this store, or none is allowed: the page warns before it is left while changes wait.
    }
  },
  recall: () => {
    try {
      return JSON.parse(sessionStorage.getItem(KEY) ?? '[]') as Waiting[];
    } catch {
      return [];
    }
  },
});

export const useDraftState = () => useSyncExternalStore(draft.listen, draft.get);

export interface DraftHere {
  readonly fleet: Fleet;
  readonly version: number;
  /** The release that the draft began from; null before the first. */
  readonly base: number | null;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
  /** Whether the hub has every change of this window. */
  readonly keeping: 'kept' | 'sending' | 'unreachable';
  readonly edit: (edits: readonly Edit[], note?: string) => Result<Fleet, readonly Problem[]>;
  readonly undo: () => Promise<void>;
  readonly redo: () => Promise<void>;
}

/** The draft as it stands; pages are shown only once it has been read. @throws Error when used outside the signed-in frame. */
export function useDraft(): DraftHere {
  const { fleet, version, base, canUndo, canRedo, keeping } = useDraftState();
  if (!fleet) throw new Error('the draft has not been read yet');
  return { fleet, version, base, canUndo, canRedo, keeping, edit: draft.edit, undo: draft.undo, redo: draft.redo };
}
