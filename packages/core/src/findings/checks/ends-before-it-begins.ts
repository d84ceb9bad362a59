import { at, type Check, DATA } from '../check.ts';

export const endsBeforeItBegins: Check = {
  code: 'F228',
  severity: 'warning',
  title: 'Dates that end before they begin',
  reason: 'The record never counts on any day.',
  mend: 'Correct the first or the last day.',
  source: DATA,
  *find(ctx) {
    for (const table of ['drivers', 'vehicles', 'credentials'] as const)
      for (const row of ctx.fleet[table].values())
        if (row.validFrom !== null && row.validUntil !== null && row.validUntil < row.validFrom)
          yield {
            on: [at(table, row.id, 'validUntil')],
            text: `${ctx.called(table, row.id)} is valid from ${row.validFrom} until ${row.validUntil}.`,
          };
  },
};
