import { barred } from '../access.ts';
import { at, type Check, DATA } from '../check.ts';

export const nobodyBringsAnAllowance: Check = {
  code: 'F204',
  severity: 'warning',
  title: 'Somebody has no allowance and can borrow none',
  reason: 'One of driver and vehicle must bring an allowance; nobody whom they could come with does.',
  mend: 'Give the driver or the vehicle an allowance.',
  source: DATA,
  *find(ctx) {
    for (const { side, holder, why } of barred(ctx)) {
      if (why !== 'allowance') continue;
      const table = side === 'driver' ? 'drivers' : 'vehicles';
      yield { on: [at(table, holder.id, 'allowances')], text: `${ctx.called(table, holder.id)} has no allowance.` };
    }
  },
};
