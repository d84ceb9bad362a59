import { err, ok, problem } from '@fillwright/core/errors';
import type { App } from '../app.ts';
import { askWhy } from '../ledger/ask-why.ts';
import { whyOf } from '../ledger/why.ts';
import type { Asking } from '../ledger/why-told.ts';
import { statementPdf } from '../reach/statement.ts';
import type { AskOptions } from '../thread/thread.ts';
import type { HandlersOf } from './route.ts';

export const reachHandlers: HandlersOf<'accessStatement' | 'askWhy' | 'why'> = {
  accessStatement: async ({ app, who, query, fileName, signal, say }) => {
    const made = await statementPdf(app, who.fleet, query, { signal, say });
    if (!made.ok) return made;
    fileName(made.value.name);
    return ok(made.value.bytes);
  },

  askWhy: async ({ app, who, query, signal, say }) => {
    const asking = await app.db.as(who.fleet, async (tx) => {
      const { fleet: draft } = await app.drafts.current(tx, who.fleet);
      return askWhy(app.released, tx, who.fleet, draft, query);
    });
    return asking.ok ? told(app, who.fleet, asking.value, query.wanted, { signal, say }) : asking;
  },

  why: async ({ app, who, params, query, signal, say }) => {
    const asking = await app.db.as(who.fleet, (tx) => whyOf(app.released, tx, who.fleet, params.id));
    if (asking === 'none') return err([problem('FW-204', { at: { in: 'fills', row: params.id } })]);
    return asking === 'own' ? err([problem('FW-337')]) : told(app, who.fleet, asking, query.wanted, { signal, say });
  },
};

/** What would have had to be different, worked out in the thread: seconds in a large fleet, while which the office goes on. */
async function told<R>(app: App, fleet: string, { base, name, reply }: Asking<R>, wanted: number, options: AskOptions) {
  const question = async () => ({ kind: 'why' as const, base, wanted });
  const answer = await app.reach.ask<'why'>(`why ${fleet} ${wanted} ${name}`, question, options);
  return answer.ok ? ok(reply(answer.value)) : answer;
}
