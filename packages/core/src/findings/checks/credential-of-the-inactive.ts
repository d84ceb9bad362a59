import { at, type Check, PRACTICE } from '../check.ts';

export const credentialOfTheInactive: Check = {
  code: 'F230',
  severity: 'note',
  title: 'Somebody inactive has a credential that is not stopped',
  reason: 'It is refused while they are inactive, and works again the moment they are made active.',
  mend: 'Take the credential back and stop it.',
  source: PRACTICE,
  *find(ctx) {
    for (const [table, side] of [
      ['drivers', 'driver'],
      ['vehicles', 'vehicle'],
    ] as const)
      for (const row of ctx.fleet[table].values()) {
        if (row.active) continue;
        for (const c of ctx.citing('credentials', side, row.id))
          if (!c.stopped)
            yield {
              on: [at('credentials', c.id, 'stopped'), at(table, row.id, 'active')],
              text: `${ctx.called('credentials', c.id)} belongs to ${ctx.called(table, row.id)}, which is inactive.`,
            };
      }
  },
};
