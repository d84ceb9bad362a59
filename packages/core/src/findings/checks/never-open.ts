import { at, type Check, DATA } from '../check.ts';

export const neverOpen: Check = {
  code: 'F215',
  severity: 'warning',
  title: 'Times that never open',
  reason: 'A list of times without a day or without an entry is never, not always.',
  mend: 'Enter the times, or leave them empty for always.',
  source: DATA,
  *find(ctx) {
    for (const table of ['allowances', 'expectations'] as const)
      for (const row of ctx.fleet[table].values())
        if (row.times?.every((w) => w.days.length === 0))
          yield { on: [at(table, row.id, 'times')], text: `The times of ${ctx.called(table, row.id)} never open.` };
  },
};
