import { type Problem, problem, type Result } from '@fillwright/core/errors';
import type { Change, DraftChanged } from '@fillwright/wire';
import { type DraftState, laidOn, settledWith, type Waiting } from './draft-line.ts';
import type { ReadDraft } from './draft-read.ts';
import type { hub } from './hub.ts';

const FIRST_PAUSE_MS = 500;
const LONGEST_PAUSE_MS = 10_000;

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

/** The draft that a window holds. */
export interface DraftHeld {
  readonly get: () => DraftState;
  readonly set: (part: Partial<DraftState>) => void;
}

/** What a window and the hub tell each other of the draft. None of it may be called while another is under way: versions follow each other. */
export function draftTalk(links: DraftLinks, { get, set }: DraftHeld) {
  async function read(): Promise<void> {
    const answer = await links.readDraft();
    if (!answer.ok) return set({ trouble: answer.error });
    const line = get().fleet === undefined ? links.recall() : get().waiting;
    const { fleet, version, base, canUndo, canRedo } = answer.value;
    set({ ...laidOn(fleet, line).part, version, base, canUndo, canRedo, trouble: undefined });
  }

  /** Takes in the changes that others (or other windows) made since our version. */
  async function catchUp(): Promise<readonly Change[]> {
    if (!get().settled) return [];
    const answer = await links.hub('draftSince', { query: { version: get().version } });
    const { settled, waiting } = get();
    const newest = answer.ok ? answer.value.at(-1) : undefined;
    if (!answer.ok || !newest || !settled) return [];
    const theirs = answer.value;
    const next = settledWith(settled, theirs);
    if (!next) {
      await read();
      return theirs;
    }
    const { part, lost } = laidOn(next, waiting);
    set({ ...part, version: newest.version, canUndo: true });
    if (lost.length > 0) set({ clash: { mine: lost, theirs, problem: problem('FW-301') } });
    return theirs;
  }

  /** The hub made the first change of the line: it becomes settled, and what is shown stays the same value. */
  async function firstIsMade(reply: DraftChanged): Promise<void> {
    const { fleet, settled, version, waiting } = get();
    const [first, ...rest] = waiting;
    set({ waiting: rest, canRedo: reply.canRedo });
    if (reply.version !== version + 1 || !settled || !first) {
      await catchUp();
      return;
    }
    const next = rest.length === 0 ? undefined : settledWith(settled, [{ edits: [...first.edits] }]);
    set({ settled: next ?? fleet, version: reply.version, canUndo: reply.canUndo });
  }

  /** The hub refused the first change of the line: it is taken out with what was built on it, and said. */
  async function firstIsRefused(first: Waiting, why: Problem): Promise<void> {
    const { settled, waiting } = get();
    const rest = waiting.slice(1);
    const { part, lost } = settled ? laidOn(settled, rest) : { part: { waiting: rest }, lost: [] };
    set(part);
    if (why.code !== 'FW-301') return set({ trouble: why });
    const theirs = await catchUp();
    set({ clash: { mine: [...(get().clash?.mine ?? []), first, ...lost], theirs, problem: why } });
  }

  /** Sends what waits, one change after the other, for as long as it takes. */
  async function sendLine(): Promise<void> {
    let pause = FIRST_PAUSE_MS;
    for (let first = get().waiting[0]; first; first = get().waiting[0]) {
      const { version, keeping } = get();
      set({ keeping: keeping === 'unreachable' ? 'unreachable' : 'sending' });
      const { edits, note } = first;
      const answer = await links.hub('editDraft', { body: { version, edits: [...edits], ...(note ? { note } : {}) } });
      if (answer.ok) {
        await firstIsMade(answer.value);
        pause = FIRST_PAUSE_MS;
      } else if (answer.error.status === 0 || answer.error.status >= 500) {
        set({ keeping: 'unreachable' });
        await links.pause(pause);
        pause = Math.min(pause * 2, LONGEST_PAUSE_MS);
        continue;
      } else await firstIsRefused(first, answer.error.problem);
      links.remember(get().waiting);
    }
    set({ keeping: 'kept' });
  }

  /** The hub takes its last change back, or makes it again. */
  async function step(name: 'undo' | 'redo'): Promise<void> {
    await sendLine();
    const answer = await links.hub(name, { body: { version: get().version } });
    if (!answer.ok) {
      await catchUp();
      return set({ trouble: answer.error.problem });
    }
    const { version, edits, canUndo, canRedo } = answer.value;
    const { settled, waiting, version: before } = get();
    const next = settled && version === before + 1 ? settledWith(settled, [{ edits }]) : undefined;
    if (next) set({ ...laidOn(next, waiting).part, version });
    else await catchUp();
    set({ canUndo, canRedo, trouble: undefined });
  }

  return { read, catchUp, sendLine, step };
}
