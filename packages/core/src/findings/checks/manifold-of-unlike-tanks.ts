import { at, type Check, DATA } from '../check.ts';
import { listed } from '../context.ts';

export const manifoldOfUnlikeTanks: Check = {
  code: 'F105',
  severity: 'error',
  title: 'Tanks of different products on one line',
  reason: 'Manifolded tanks share what they hold: their products would mix.',
  mend: 'Give each product its own pump, or correct the tanks’ products.',
  source: DATA,
  *find(ctx) {
    for (const pump of ctx.fleet.pumps.values()) {
      const tanks = pump.tanks.flatMap((id) => ctx.fleet.tanks.get(id) ?? []);
      if (new Set(tanks.map((t) => t.product)).size < 2) continue;
      yield {
        on: [at('pumps', pump.id, 'tanks'), ...tanks.map((t) => at('tanks', t.id, 'product'))],
        text: `${ctx.called('pumps', pump.id)} draws from ${listed(tanks.map((t) => `${ctx.called('tanks', t.id)} with ${ctx.called('products', t.product)}`))}.`,
      };
    }
  },
};
