import { at, type Check, DATA } from '../check.ts';

export const credentialNotDigits: Check = {
  code: 'F209',
  severity: 'error',
  title: 'A credential’s number is not digits',
  reason: 'Readers and keypads give digits only, so it can never be presented.',
  mend: 'Enter the number as the reader gives it.',
  source: DATA,
  *find(ctx) {
    for (const c of ctx.fleet.credentials.values())
      if (!/^\d+$/.test(c.number))
        yield {
          on: [at('credentials', c.id, 'number')],
          text: `${ctx.called('credentials', c.id)} has the number “${c.number}”.`,
        };
  },
};
