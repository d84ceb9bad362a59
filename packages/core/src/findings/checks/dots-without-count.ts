import { at, type Check, DATA } from '../check.ts';

export const dotsWithoutCount: Check = {
  code: 'F324',
  severity: 'warning',
  title: 'A display of dots without their count',
  reason: 'The picture and the layout then go by columns and rows that somebody guessed.',
  mend: 'Enter how many dots the display has across and down: its data sheet says it.',
  source: DATA,
  *find(ctx) {
    for (const t of ctx.fleet.terminals.values())
      if (t.dots !== 'none' && (t.dotsAcross === null || t.dotsDown === null))
        yield {
          on: [at('terminals', t.id, t.dotsAcross === null ? 'dotsAcross' : 'dotsDown')],
          text: `The display of ${ctx.called('terminals', t.id)} is made of dots, but not how many.`,
        };
  },
};
