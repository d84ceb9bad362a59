import type { Vehicle } from '../../fleet/index.ts';
import { judgeAnswer, rightAnswer } from '../questions.ts';
import { NO_USAGE } from '../recorded-usage.ts';
import type { Usage } from '../types.ts';
import type { Change, WhyCase } from './types.ts';
import { cardsOf, type HolderRow, holdersOf } from './who.ts';

type Answer = Extract<Change, { kind: 'answer' }>;

/** An answer that each question which these are asked would accept, where it is not what was keyed. */
export function answersFor({ fleet, request, usage }: WhyCase, holders: readonly HolderRow[]): Answer[] {
  const asked = new Set(fleet.sites.get(request.site)?.questions);
  for (const { row } of holders) for (const id of row.questions) asked.add(id);
  const vehicle = holders.find((h) => h.table === 'vehicles')?.row as Vehicle | undefined;
  const read: Usage = { ...NO_USAGE, lastReading: (id, kind) => usage.readings[`${id} ${kind}`] };
  return [...asked].flatMap((question): Answer[] => {
    const row = fleet.questions.get(question);
    if (!row) return [];
    const last = vehicle && usage.readings[`${vehicle.id} ${row.kind}`];
    const next = last === undefined ? undefined : String(last + (row.leastAdvance ?? 0));
    const accepts = (answer: string | undefined) => {
      const says = judgeAnswer(row, answer, vehicle ?? null, read)?.says;
      return says === 'pass' || says === 'note';
    };
    const answer = [next, rightAnswer(row)?.trim()].find(accepts);
    return answer === undefined || answer === request.answers[question] ? [] : [{ kind: 'answer', question, answer }];
  });
}

/** An answer that each question which this case is asked would accept, for a record that has none. */
export function rightAnswers(base: WhyCase): Record<string, string> {
  const holders = holdersOf(base.fleet, cardsOf(base.fleet, base.request.credentials));
  const blank = { ...base, request: { ...base.request, answers: {} } };
  return Object.fromEntries(answersFor(blank, holders).map((c) => [c.question, c.answer]));
}
