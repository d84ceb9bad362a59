import { formatDate } from '../../units/index.ts';
import { at, type Check, DATA } from '../check.ts';

export const priceMissing: Check = {
  code: 'F315',
  severity: 'warning',
  title: 'A product at a site has no price',
  reason: 'The fleet keeps prices, but fills of this product there would be charged at nothing.',
  mend: 'Enter a price for the product, at the site or for every site.',
  source: DATA,
  *find({ fleet, today, liveHoses, called }) {
    if (fleet.prices.size === 0) return;
    const date = today === undefined ? '9999-12-31' : formatDate(today);
    const priced = new Set<string>();
    for (const p of fleet.prices.values())
      if (p.tier === '' && p.from <= date) priced.add(`${p.product} ${p.site ?? ''}`);
    const told = new Set<string>();
    for (const { product, site } of liveHoses) {
      const key = `${product} ${site}`;
      if (!fleet.products.has(product) || priced.has(key) || priced.has(`${product} `) || told.has(key)) continue;
      told.add(key);
      yield {
        on: [at('products', product), at('sites', site)],
        text: `${called('products', product)} has no price at ${called('sites', site)}${today === undefined ? '' : ` on ${date}`}.`,
      };
    }
  },
};
