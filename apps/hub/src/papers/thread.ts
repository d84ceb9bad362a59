import type { Logger } from 'pino';
import { openThread, type Thread } from '../thread/thread.ts';
import type { AnswerTo, Question } from './question.ts';

export type PapersThread = Thread<Question, AnswerTo>;

/** A long paper takes seconds to set. None is kept: whoever asks again wants it as things stand then. */
export const openPapersThread = (log: Logger): PapersThread =>
  openThread(log, { work: new URL('./work.ts', import.meta.url), what: 'a paper', kept: 0, memoryMb: 1024 });
