import { type Change, changeWords, explain, ruleOf, type WhyCase, why } from '@fillwright/core/decide';
import type { ReplyOf } from '@fillwright/wire';
import { zoneOrUtc } from './zones.ts';

export type Told = Pick<ReplyOf<'why'>, 'again' | 'lines' | 'remedies'>;

/** What is to be told of a case, and how the reply is made of it: in a large fleet the telling takes seconds, and belongs in a thread. */
export interface Asking<R> {
  readonly base: WhyCase;
  readonly name: string;
  readonly reply: (told: Told) => R;
}

/** Names a case for as long as its release and what was drawn before stay what they are. */
export const caseName = (revision: number, { request, usage }: WhyCase): string =>
  `${revision} ${JSON.stringify([request, usage])}`;

/** The decision with every rule that was looked at, and the smallest changes that would have let `wanted` microlitres through. */
export function whyTold(base: WhyCase, wanted: number): Told {
  const { fleet, request } = base;
  const told = why(base, zoneOrUtc, wanted);
  const again = told.decision;
  const zone = zoneOrUtc(fleet.sites.get(request.site)?.zone);
  return {
    again: { approved: again.approved, by: ruleOf(again), limit: again.approved ? again.limit : null },
    lines: explain(again, fleet).map(({ title, says, text, decides, on }) => ({
      title,
      says,
      text,
      decides,
      on: on ? { table: on.table, id: on.id } : null,
    })),
    remedies: told.remedies.map((r) => ({
      changes: r.changes.map((c) => ({ ...changeWords(fleet, c, zone), on: recordOf(c, fleet) })),
      limit: r.decision.approved ? r.decision.limit : 0,
    })),
  };
}

type At = { readonly table: string; readonly id: string } | null;

/** The record on which a change is made or from which it is read; none for a time, a PIN or the link. */
function recordOf(change: Change, fleet: WhyCase['fleet']): At {
  switch (change.kind) {
    case 'field':
    case 'give':
      return { table: change.table, id: change.id };
    case 'present':
      return fleet[change.table].has(change.id) ? { table: change.table, id: change.id } : null;
    case 'hose':
      return { table: 'hoses', id: change.hose };
    case 'answer':
      return { table: 'questions', id: change.question };
    default:
      return null;
  }
}
