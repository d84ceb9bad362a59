import { at, type Check, DATA } from '../check.ts';

export const allowanceOfNoProduct: Check = {
  code: 'F239',
  severity: 'warning',
  title: 'An allowance covers no product',
  reason: 'It never lets anybody draw: no product named is none allowed.',
  mend: 'Name its products.',
  source: DATA,
  *find(ctx) {
    for (const a of ctx.fleet.allowances.values())
      if (a.products.length === 0)
        yield {
          on: [at('allowances', a.id, 'products')],
          text: `${ctx.called('allowances', a.id)} covers no product.`,
        };
  },
};
