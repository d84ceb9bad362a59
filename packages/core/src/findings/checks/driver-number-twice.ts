import { at, type Check, DATA } from '../check.ts';
import { alike, folded, listed } from '../context.ts';

export const driverNumberTwice: Check = {
  code: 'F212',
  severity: 'warning',
  title: 'Two drivers have one number',
  reason: 'Statements by payroll number would add two people up.',
  mend: 'Correct the number, or take the double away.',
  source: DATA,
  *find(ctx) {
    for (const group of alike(ctx.fleet.drivers.values(), (d) => folded(d.number)))
      yield {
        on: group.map((d) => at('drivers', d.id, 'number')),
        text: `${listed(group.map((d) => ctx.called('drivers', d.id)))} have the number ${group[0]?.number.trim()}.`,
      };
  },
};
