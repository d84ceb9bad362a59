import { at, type Check, DATA } from '../check.ts';

export const receiptWithoutPrinter: Check = {
  code: 'F304',
  severity: 'note',
  title: 'Receipt text without a printer',
  reason: 'It is never printed.',
  mend: 'Enter the paper’s columns, or take the text away.',
  source: DATA,
  *find(ctx) {
    for (const t of ctx.fleet.terminals.values())
      if (t.paper === null && t.receiptHead.length + t.receiptFoot.length + (t.receiptLayout?.length ?? 0) > 0)
        yield {
          on: [at('terminals', t.id, 'paper')],
          text: `${ctx.called('terminals', t.id)} has receipt text, but no printer.`,
        };
  },
};
