import { at, type Check, DATA } from '../check.ts';

export const shortNameMissing: Check = {
  code: 'F308',
  severity: 'note',
  title: 'A product has no short name',
  reason: 'Displays and receipts show its whole name, cut at twelve characters.',
  mend: 'Enter one.',
  source: DATA,
  *find(ctx) {
    for (const p of ctx.fleet.products.values())
      if (p.short.trim() === '')
        yield { on: [at('products', p.id, 'short')], text: `${ctx.called('products', p.id)} has no short name.` };
  },
};
