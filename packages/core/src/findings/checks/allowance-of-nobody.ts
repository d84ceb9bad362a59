import { at, type Check, DATA } from '../check.ts';

export const allowanceOfNobody: Check = {
  code: 'F217',
  severity: 'note',
  title: 'Nobody holds an allowance',
  reason: 'It does nothing; most often it was to be given to somebody.',
  mend: 'Give it to whom it is meant for, or take it away.',
  source: DATA,
  *find(ctx) {
    for (const a of ctx.fleet.allowances.values())
      if (ctx.citing('drivers', 'allowances', a.id).length + ctx.citing('vehicles', 'allowances', a.id).length === 0)
        yield {
          on: [at('allowances', a.id)],
          text: `No driver and no vehicle holds ${ctx.called('allowances', a.id)}.`,
        };
  },
};
