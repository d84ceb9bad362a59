import type { Logger } from 'pino';
import { openThread, type Thread } from '../thread/thread.ts';
import type { AnswerTo, Question } from './question.ts';

export type FiguresThread = Thread<Question, AnswerTo>;

/** A tank's model takes about a second, the flags of a large ledger some: neither must hold the office up. */
export const openFiguresThread = (log: Logger): FiguresThread =>
  openThread(log, {
    work: new URL('./work.ts', import.meta.url),
    what: 'a figure of the ledger',
    kept: 64,
    memoryMb: 3072,
  });
