import { ok } from '@fillwright/core/errors';
import { statementPdf } from '../reach/statement.ts';
import type { HandlersOf } from './route.ts';

export const reachHandlers: HandlersOf<'accessStatement'> = {
  accessStatement: async ({ app, who, query, fileName }) => {
    const made = await statementPdf(app, who.fleet, query);
    if (!made.ok) return made;
    fileName(made.value.name);
    return ok(made.value.bytes);
  },
};
