import { at, type Check, DATA } from '../check.ts';

export const noFillsADay: Check = {
  code: 'F220',
  severity: 'warning',
  title: 'An allowance of no fills a day',
  reason: 'It never lets anybody draw.',
  mend: 'Enter a number of fills, or leave it empty for no limit.',
  source: DATA,
  *find(ctx) {
    for (const a of ctx.fleet.allowances.values())
      if (a.fillsPerDay === 0)
        yield {
          on: [at('allowances', a.id, 'fillsPerDay')],
          text: `${ctx.called('allowances', a.id)} allows no fill on any day.`,
        };
  },
};
