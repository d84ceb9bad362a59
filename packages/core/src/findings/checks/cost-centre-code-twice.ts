import { at, type Check, DATA } from '../check.ts';
import { alike, folded, listed } from '../context.ts';

export const costCentreCodeTwice: Check = {
  code: 'F234',
  severity: 'warning',
  title: 'Two cost centres have one code',
  reason: 'The accounts would add them up as one.',
  mend: 'Correct the code, or keep one of them.',
  source: DATA,
  *find(ctx) {
    for (const group of alike(ctx.fleet.costCentres.values(), (c) => folded(c.code)))
      yield {
        on: group.map((c) => at('costCentres', c.id, 'code')),
        text: `${listed(group.map((c) => ctx.called('costCentres', c.id)))} have the code ${group[0]?.code.trim()}.`,
      };
  },
};
