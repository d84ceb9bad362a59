import { at, type Check, DATA } from '../check.ts';
import { alike } from '../context.ts';

export const pricesFromOneDay: Check = {
  code: 'F316',
  severity: 'error',
  title: 'Two prices hold from the same day',
  reason: 'Nobody can say which one a fill is charged at.',
  mend: 'Keep one of them, or correct its day or site.',
  source: DATA,
  *find(ctx) {
    for (const group of alike(ctx.fleet.prices.values(), (p) => `${p.product} ${p.site ?? ''} ${p.from} ${p.tier}`)) {
      const first = group[0];
      if (first)
        yield {
          on: group.map((p) => at('prices', p.id, 'from')),
          text: `${group.length} prices of ${ctx.called('products', first.product)} hold from ${first.from}.`,
        };
    }
  },
};
