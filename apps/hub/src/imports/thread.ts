import type { Logger } from 'pino';
import { openThread, type Thread } from '../thread/thread.ts';
import type { AnswerTo, Question } from './question.ts';

export type ImportsThread = Thread<Question, AnswerTo>;

/** Rows of a large roster take seconds to become edits. No answer is kept: the draft may have changed since. */
export const openImportsThread = (log: Logger, memoryMb = 3072): ImportsThread =>
  openThread(log, { work: new URL('./work.ts', import.meta.url), what: 'an import', kept: 0, memoryMb });
