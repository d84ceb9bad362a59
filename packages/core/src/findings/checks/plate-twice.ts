import { at, type Check, DATA } from '../check.ts';
import { alike, folded, listed } from '../context.ts';

export const plateTwice: Check = {
  code: 'F213',
  severity: 'warning',
  title: 'Two vehicles have one plate',
  reason: 'One of them was entered twice or typed wrong, and limits would hold for each apart.',
  mend: 'Correct the plate, or take the double away.',
  source: DATA,
  *find(ctx) {
    for (const group of alike(ctx.fleet.vehicles.values(), (v) => folded(v.plate).replace(/[ -]/g, '')))
      yield {
        on: group.map((v) => at('vehicles', v.id, 'plate')),
        text: `${listed(group.map((v) => ctx.called('vehicles', v.id)))} have the plate ${group[0]?.plate.trim()}.`,
      };
  },
};
