import type { Progress } from '@fillwright/core/reach';
import type { FromReach } from './message.ts';

export type Say = (answer: FromReach) => void;

/** Drives long work to its end, saying each percent of it once. */
export function driven<T>(steps: Generator<Progress, T>, say: Say): T {
  let said = -1;
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
    const { done, of } = step.value;
    const percent = Math.floor((done * 100) / Math.max(1, of));
    if (percent > said) say({ kind: 'progress', done, of });
    said = percent;
  }
}

/** Says the progress of the first or the second half of some work. */
export const halfOf =
  (say: Say, half: 0 | 1): Say =>
  (answer) =>
    say(answer.kind === 'progress' ? { ...answer, done: answer.done + half * answer.of, of: 2 * answer.of } : answer);
