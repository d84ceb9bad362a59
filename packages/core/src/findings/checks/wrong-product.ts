import { at, type Check, DATA } from '../check.ts';
import { listed } from '../context.ts';

export const wrongProduct: Check = {
  code: 'F104',
  severity: 'error',
  title: 'A hose’s product is not what its tanks hold',
  reason: 'The wrong fuel would be drawn, charged and booked.',
  mend: 'Correct the hose’s product, its pump, or the tank’s product, after looking at the plumbing.',
  source: DATA,
  *find(ctx) {
    for (const hose of ctx.fleet.hoses.values()) {
      const tanks = (ctx.fleet.pumps.get(hose.pump)?.tanks ?? []).flatMap((id) => ctx.fleet.tanks.get(id) ?? []);
      if (tanks.length === 0 || tanks.some((t) => t.product === hose.product)) continue;
      yield {
        on: [at('hoses', hose.id, 'product'), at('pumps', hose.pump, 'tanks')],
        text: `${ctx.called('hoses', hose.id)} gives ${ctx.called('products', hose.product)}, but its pump draws from ${listed(tanks.map((t) => `${ctx.called('tanks', t.id)} with ${ctx.called('products', t.product)}`))}.`,
      };
    }
  },
};
