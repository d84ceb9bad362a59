import { at, type Check, DATA } from '../check.ts';

export const allowanceForNothingThere: Check = {
  code: 'F201',
  severity: 'warning',
  title: 'An allowance covers a product that none of its sites has',
  reason: 'The product can never be drawn under it; most often a site or a product was left out.',
  mend: 'Add the site that has it, or take the product out of the allowance.',
  source: DATA,
  *find(ctx) {
    const sitesOf = new Map<string, Set<string>>();
    for (const h of ctx.liveHoses) sitesOf.set(h.product, (sitesOf.get(h.product) ?? new Set()).add(h.site));
    for (const a of ctx.fleet.allowances.values())
      for (const product of new Set(a.products)) {
        const there = sitesOf.get(product);
        if (there && (a.sites === null || a.sites.some((s) => there.has(s)))) continue;
        yield {
          on: [at('allowances', a.id, 'products'), at('products', product)],
          text: `${ctx.called('allowances', a.id)} covers ${ctx.called('products', product)}, which no hose in service at its sites gives.`,
        };
      }
  },
};
