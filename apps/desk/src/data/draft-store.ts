import { type Problem, problem, type Result } from '@fillwright/core/errors';
import { applyEdits, type Edit, type Fleet } from '@fillwright/core/fleet';
import type { Change, DraftChanged } from '@fillwright/wire';
import type { ReadDraft } from './draft-read.ts';
import type { hub } from './hub.ts';

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

const EMPTY: DraftState = {
  fleet: undefined,
  version: 0,
  base: null,
  canUndo: false,
  canRedo: false,
  waiting: [],
  keeping: 'kept',
  clash: undefined,
  trouble: undefined,
};

/** What the store needs of the outside. */
export interface DraftLinks {
  readonly hub: typeof hub;
  readonly readDraft: () => Promise<Result<ReadDraft, Problem>>;
  /** Waits before the hub is tried again. */
  readonly pause: (ms: number) => Promise<void>;
  /** Keeps the waiting changes through a reload of the page. */
  readonly remember: (waiting: readonly Waiting[]) => void;
  readonly recall: () => readonly Waiting[];
}

/**
 * The draft in this window. Changes show at once, wait in line and are sent one after the other; what the hub refuses is taken out and
 * said, what it cannot hear is tried again. `settled` is the hub's draft, `state.fleet` that with the line applied.
 */
export function draftStore(links: DraftLinks) {
  let state = EMPTY;
  let settled: Fleet | undefined;
  let work: Promise<void> = Promise.resolve();
  const listeners = new Set<() => void>();

  const set = (part: Partial<DraftState>) => {
    state = { ...state, ...part };
    for (const listener of listeners) listener();
  };

  /** The settled draft with the line applied; what no longer fits is returned apart. */
  const withLine = (from: Fleet, line: readonly Waiting[]) => {
    let fleet = from;
    const fits: Waiting[] = [];
    const lost: Waiting[] = [];
    for (const waiting of line) {
      const next = applyEdits(fleet, waiting.edits);
      if (next.ok) {
        fleet = next.value;
        fits.push(waiting);
      } else lost.push(waiting);
    }
    return { fleet, fits, lost };
  };

  async function read(): Promise<void> {
    const answer = await links.readDraft();
    if (!answer.ok) return set({ trouble: answer.error });
    const recalled = state.fleet === undefined ? links.recall() : state.waiting;
    settled = answer.value.fleet;
    const { version, base, canUndo, canRedo } = answer.value;
    const line = withLine(settled, recalled);
    set({ fleet: line.fleet, waiting: line.fits, version, base, canUndo, canRedo, trouble: undefined });
  }

  /** Takes in the changes that others (or other windows) made since our version. */
  async function catchUp(): Promise<readonly Change[]> {
    if (!settled) return [];
    const answer = await links.hub('draftSince', { query: { version: state.version } });
    if (!answer.ok || answer.value.length === 0) return [];
    let fleet: Fleet = settled;
    for (const change of answer.value) {
      const next = applyEdits(fleet, change.edits as Edit[]);
      if (!next.ok) {
        await read();
        return answer.value;
      }
      fleet = next.value;
    }
    settled = fleet;
    const line = withLine(fleet, state.waiting);
    const ours = answer.value.at(-1);
    set({ fleet: line.fleet, waiting: line.fits, version: ours?.version ?? state.version, canUndo: true });
    if (line.lost.length > 0) set({ clash: { mine: line.lost, theirs: answer.value, problem: problem('FW-301') } });
    return answer.value;
  }

  /** The hub made the first change of the line: it becomes settled, and what is shown stays the same value. */
  async function settleFirst(reply: DraftChanged): Promise<void> {
    const [first, ...rest] = state.waiting;
    const follows = reply.version === state.version + 1;
    set({ waiting: rest, canRedo: reply.canRedo });
    if (!follows || !settled || !first) {
      await catchUp();
      return;
    }
    const next = rest.length === 0 ? undefined : applyEdits(settled, first.edits);
    settled = next?.ok ? next.value : state.fleet;
    set({ version: reply.version, canUndo: reply.canUndo });
  }

  /** The hub took a change back or made it again. */
  async function settleStep(reply: DraftChanged): Promise<void> {
    const next =
      settled && reply.version === state.version + 1 ? applyEdits(settled, reply.edits as Edit[]) : undefined;
    if (next?.ok) {
      settled = next.value;
      const line = withLine(settled, state.waiting);
      set({ fleet: line.fleet, waiting: line.fits, version: reply.version });
    } else await catchUp();
    set({ canUndo: reply.canUndo, canRedo: reply.canRedo, trouble: undefined });
  }

  async function sendLine(): Promise<void> {
    for (let wait = 500; state.waiting.length > 0; ) {
      const first = state.waiting[0] as Waiting;
      set({ keeping: state.keeping === 'unreachable' ? 'unreachable' : 'sending' });
      const answer = await links.hub('editDraft', {
        body: { version: state.version, edits: [...first.edits], ...(first.note ? { note: first.note } : {}) },
      });
      if (answer.ok) {
        await settleFirst(answer.value);
        wait = 500;
      } else if (answer.error.status === 0 || answer.error.status >= 500) {
        set({ keeping: 'unreachable' });
        await links.pause(wait);
        wait = Math.min(wait * 2, 10_000);
        continue;
      } else {
        const rest = state.waiting.slice(1);
        set({ waiting: rest });
        if (settled) {
          const line = withLine(settled, rest);
          set({ fleet: line.fleet, waiting: line.fits });
        }
        if (answer.error.problem.code === 'FW-301') {
          const theirs = await catchUp();
          set({ clash: { mine: [...(state.clash?.mine ?? []), first], theirs, problem: answer.error.problem } });
        } else set({ trouble: answer.error.problem });
      }
      links.remember(state.waiting);
    }
    set({ keeping: 'kept' });
  }

  /** One thing at a time, so that versions follow each other. */
  const inLine = (task: () => Promise<void>): Promise<void> => {
    work = work.then(task, task);
    return work;
  };

  const step = (name: 'undo' | 'redo') =>
    inLine(async () => {
      await sendLine();
      const answer = await links.hub(name, { body: { version: state.version } });
      if (answer.ok) await settleStep(answer.value);
      else {
        await catchUp();
        set({ trouble: answer.error.problem });
      }
    });

  return {
    get: () => state,
    listen: (listener: () => void) => {
      listeners.add(listener);
      return () => void listeners.delete(listener);
    },
    read: () => inLine(read).then(() => (state.waiting.length > 0 ? inLine(sendLine) : undefined)),
    /** Called when the hub says that the draft has a version; silent where we have it. */
    heard: (version: number) =>
      inLine(async () => {
        if (version > state.version) await catchUp();
      }),
    /** Called when the hub says that a release was made: what is compared with the last one is compared with that. */
    released: (number: number) => {
      if (number > (state.base ?? 0)) set({ base: number });
    },
    edit(edits: readonly Edit[], note = ''): Result<Fleet, readonly Problem[]> {
      if (!state.fleet) return { ok: false, error: [problem('FW-505')] };
      const next = applyEdits(state.fleet, edits);
      if (!next.ok) return next;
      if (edits.length === 0) return next;
      set({ fleet: next.value, waiting: [...state.waiting, { edits, note }], canUndo: true, trouble: undefined });
      links.remember(state.waiting);
      if (state.waiting.length === 1) void inLine(sendLine);
      return next;
    },
    undo: () => step('undo'),
    redo: () => step('redo'),
    /** Makes the changes that were set aside again, on top of theirs. */
    again() {
      const clash = state.clash;
      if (!clash) return;
      set({ clash: undefined });
      for (const waiting of clash.mine) {
        const done = this.edit(waiting.edits, waiting.note);
        if (!done.ok) set({ trouble: done.error[0] });
      }
    },
    letGo: () => set({ clash: undefined }),
    dismiss: () => set({ trouble: undefined }),
    forget: () => {
      settled = undefined;
      set(EMPTY);
    },
  };
}
