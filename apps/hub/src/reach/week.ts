import { type Days, hereOf, type Progress, spansOf, type Table, type WeekHere } from '@fillwright/core/reach';
import { formatDate } from '@fillwright/core/units';
import type { ReachWeekReply } from '@fillwright/wire';
import type { Question } from './question.ts';

/** What may be drawn over the week, as the desk's map shows it. */
export function* week(
  table: Table,
  { place, hose, product }: Extract<Question, { kind: 'week' }>,
): Generator<Progress, ReachWeekReply> {
  const here = yield* hereOf(table, place);
  const { hoses } = table.policy;
  const meant = (w: WeekHere) =>
    (hose === null || w.hoses.includes(hose)) &&
    (product === null || hoses.get(w.hoses[0] ?? '')?.row.product === product);
  const told = ({ hoses, product, days, stretches, nothing }: WeekHere) => ({
    hoses: [...hoses],
    product,
    days: pairs(days),
    stretches: [...stretches],
    nothing,
  });
  return {
    days: pairs(here.horizon)[0] ?? ['', ''],
    why: here.why,
    cards: [...here.cards],
    weeks: here.weeks.filter(meant).map(told),
    sites: here.sites.filter(meant).map((s) => ({ site: s.site, ...told(s) })),
  };
}

export const pairs = (days: Days): [string, string][] =>
  spansOf(days).map(([from, until]) => [formatDate(from), formatDate(until)]);
