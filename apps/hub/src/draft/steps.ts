import type { Change } from '@fillwright/wire';

/** What undo and redo need of a change. */
export interface Step {
  readonly version: number;
  readonly kind: Change['kind'];
  readonly lasting: boolean;
}

/** Versions that undo takes back, and those that redo takes back, each with the next one last. */
export interface Steps {
  readonly undo: readonly number[];
  readonly redo: readonly number[];
}

/** How far back undo goes. */
const MOST_STEPS = 500;

export const NO_STEPS: Steps = { undo: [], redo: [] };

/**
 * Undo is a change like any other: the change log alone says what the next undo and redo are. A new change ends what could be redone;
 * a lasting one (an urgent stop) is passed over.
 */
export function stepped(steps: Steps, step: Step): Steps {
  if (step.lasting || step.kind === 'start') return steps;
  if (step.kind === 'undo') return { undo: steps.undo.slice(0, -1), redo: [...steps.redo, step.version] };
  if (step.kind === 'redo') return { undo: [...steps.undo, step.version], redo: steps.redo.slice(0, -1) };
  return { undo: [...steps.undo.slice(1 - MOST_STEPS), step.version], redo: [] };
}
