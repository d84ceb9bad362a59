import { at, type Check, DATA } from '../check.ts';

export const priceOfNothing: Check = {
  code: 'F317',
  severity: 'warning',
  title: 'A price of zero',
  reason: 'Fills are charged at nothing from that day.',
  mend: 'Enter the price, or say at release that it is meant.',
  source: DATA,
  *find(ctx) {
    for (const p of ctx.fleet.prices.values())
      if (p.price === 0)
        yield {
          on: [at('prices', p.id, 'price')],
          text: `${ctx.called('products', p.product)} costs nothing from ${p.from}.`,
        };
  },
};
