import { at, type Check } from '../check.ts';
import { alike, folded, listed } from '../context.ts';

export const vinTwice: Check = {
  code: 'F214',
  severity: 'warning',
  title: 'Two vehicles have one VIN',
  reason: 'A VIN belongs to one vehicle; limits would hold for each entry apart.',
  mend: 'Correct the VIN, or take the double away.',
  source: '49 CFR 565.15',
  *find(ctx) {
    for (const group of alike(ctx.fleet.vehicles.values(), (v) => folded(v.vin)))
      yield {
        on: group.map((v) => at('vehicles', v.id, 'vin')),
        text: `${listed(group.map((v) => ctx.called('vehicles', v.id)))} have the VIN ${group[0]?.vin.trim()}.`,
      };
  },
};
