import { flags } from '@fillwright/core/flags';
import { zoneOrUtc } from '../ledger/zones.ts';
import { tankStock } from '../stock/tank-stock.ts';
import { verdictOf } from '../stock/verdict-of.ts';
import type { AnswerTo, Question } from './question.ts';

/** Answers one question about the ledger. It is short: there is nothing to say between beginning and end. */
export function* work(question: Question): Generator<{ done: number; of: number }, AnswerTo[Question['kind']]> {
  yield { done: 0, of: 1 };
  if (question.kind === 'stock') return tankStock(question.wish, question.rows);
  if (question.kind === 'verdict') return verdictOf(tankStock(question.wish, question.rows));
  return flags({ ...question, zones: zoneOrUtc });
}
