import { barred } from '../access.ts';
import { at, type Check, DATA } from '../check.ts';

export const nothingToPresent: Check = {
  code: 'F202',
  severity: 'warning',
  title: 'Somebody who must be identified has no credential',
  reason: 'They can never begin at a terminal.',
  mend: 'Hand out a credential and enter it, lift its stop, or make the holder inactive.',
  source: DATA,
  *find(ctx) {
    for (const { side, holder, why } of barred(ctx)) {
      if (why !== 'credential') continue;
      const table = side === 'driver' ? 'drivers' : 'vehicles';
      yield { on: [at(table, holder.id)], text: `${ctx.called(table, holder.id)} has no credential that works.` };
    }
  },
};
