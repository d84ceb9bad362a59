import { LEAST_USEFUL } from '../../decide/index.ts';
import { at, type Check, PRACTICE } from '../check.ts';

export const limitOfNothing: Check = {
  code: 'F222',
  severity: 'warning',
  title: 'A limit too small to draw anything',
  reason:
    'A decision below 0.1 l refuses, because nothing useful can be metered below it; so the allowance never lets anybody draw.',
  mend: 'Enter a quantity, or leave it empty for no limit.',
  source: PRACTICE,
  *find(ctx) {
    for (const a of ctx.fleet.allowances.values())
      for (const field of ['perFill', 'perDay', 'perWeek', 'perMonth'] as const) {
        const most = a[field];
        if (most !== null && most < LEAST_USEFUL)
          yield {
            on: [at('allowances', a.id, field)],
            text: `${ctx.called('allowances', a.id)} has a limit of ${ctx.volume(most)}.`,
          };
      }
  },
};
