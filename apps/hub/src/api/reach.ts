import { err, ok, problem } from '@fillwright/core/errors';
import { askWhy } from '../ledger/ask-why.ts';
import { whyOf } from '../ledger/why.ts';
import { statementPdf } from '../reach/statement.ts';
import type { HandlersOf } from './route.ts';

export const reachHandlers: HandlersOf<'accessStatement' | 'askWhy' | 'why'> = {
  accessStatement: async ({ app, who, query, fileName, signal, say }) => {
    const made = await statementPdf(app, who.fleet, query, { signal, say });
    if (!made.ok) return made;
    fileName(made.value.name);
    return ok(made.value.bytes);
  },

  askWhy: ({ app, who, query }) =>
    app.db.as(who.fleet, async (tx) => {
      const { fleet: draft } = await app.drafts.current(tx, who.fleet);
      return askWhy(app.released, tx, who.fleet, draft, query);
    }),

  why: async ({ app, who, params, query }) => {
    const told = await app.db.as(who.fleet, (tx) => whyOf(app.released, tx, who.fleet, params.id, query.wanted));
    if (told === 'none') return err([problem('FW-204', { at: { in: 'fills', row: params.id } })]);
    return told === 'own' ? err([problem('FW-337')]) : ok(told);
  },
};
