import { type Problem, problem, type Result } from '@fillwright/core/errors';
import { applyEdits, type Edit, type Fleet } from '@fillwright/core/fleet';
import { type DraftState, EMPTY } from './draft-line.ts';
import { type DraftLinks, draftTalk } from './draft-talk.ts';

/**
 * The draft in this window. Changes show at once, wait in line and are sent one after the other; what the hub refuses is taken out and
 * said, what it cannot hear is tried again.
 */
export function draftStore(links: DraftLinks) {
  let state = EMPTY;
  let work: Promise<void> = Promise.resolve();
  const listeners = new Set<() => void>();

  const get = () => state;
  const set = (part: Partial<DraftState>) => {
    state = { ...state, ...part };
    for (const listener of listeners) listener();
  };
  const talk = draftTalk(links, { get, set });
  /** One thing at a time, so that versions follow each other. */
  const inLine = (task: () => Promise<void>): Promise<void> => {
    work = work.then(task, task);
    return work;
  };

  function edit(edits: readonly Edit[], note = ''): Result<Fleet, readonly Problem[]> {
    if (!state.fleet) return { ok: false, error: [problem('FW-505')] };
    const next = applyEdits(state.fleet, edits);
    if (!next.ok || edits.length === 0) return next;
    set({ fleet: next.value, waiting: [...state.waiting, { edits, note }], canUndo: true, trouble: undefined });
    links.remember(state.waiting);
    if (state.waiting.length === 1) void inLine(talk.sendLine);
    return next;
  }

  return {
    get,
    listen: (listener: () => void) => {
      listeners.add(listener);
      return () => void listeners.delete(listener);
    },
    read: () => inLine(talk.read).then(() => (state.waiting.length > 0 ? inLine(talk.sendLine) : undefined)),
    /** Called when the hub says that the draft has a version; silent where we have it. */
    heard: (version: number) =>
      inLine(async () => {
        if (version > state.version) await talk.catchUp();
      }),
    /** Called when the hub says that a release was made: what is compared with the last one is compared with that. */
    released: (number: number) => {
      if (number > (state.base ?? 0)) set({ base: number });
    },
    edit,
    undo: () => inLine(() => talk.step('undo')),
    redo: () => inLine(() => talk.step('redo')),
    /** Makes the changes that were set aside again, on top of theirs. */
    again() {
      const { clash } = state;
      if (!clash) return;
      set({ clash: undefined });
      for (const waiting of clash.mine) {
        const done = edit(waiting.edits, waiting.note);
        if (!done.ok) set({ trouble: done.error[0] });
      }
    },
    letGo: () => set({ clash: undefined }),
    dismiss: () => set({ trouble: undefined }),
    forget: () => set(EMPTY),
  };
}
