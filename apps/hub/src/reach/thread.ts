import type { Logger } from 'pino';
import { openThread, type Thread } from '../thread/thread.ts';
import type { AnswerTo, Question } from './question.ts';

export type ReachThread = Thread<Question, AnswerTo>;

/** Reach of a large roster takes many seconds. */
export const openReachThread = (log: Logger, memoryMb = 1024): ReachThread =>
  openThread(log, { work: new URL('./work.ts', import.meta.url), what: 'reach', kept: 6, memoryMb });
