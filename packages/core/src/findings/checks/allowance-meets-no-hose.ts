import { barred } from '../access.ts';
import { at, type Check, DATA } from '../check.ts';

export const allowanceMeetsNoHose: Check = {
  code: 'F203',
  severity: 'warning',
  title: 'Somebody’s allowances meet no hose',
  reason:
    'They are identified and always refused: no allowance of theirs covers what a hose at a site of theirs gives.',
  mend: 'Give them an allowance for a product and a site that they use.',
  source: DATA,
  *find(ctx) {
    for (const { side, holder, why } of barred(ctx)) {
      if (why !== 'hose') continue;
      const table = side === 'driver' ? 'drivers' : 'vehicles';
      yield {
        on: [at(table, holder.id, 'allowances')],
        text: `No allowance of ${ctx.called(table, holder.id)} meets a hose at a site that it may use.`,
      };
    }
  },
};
