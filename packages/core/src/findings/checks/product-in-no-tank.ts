import { at, type Check, DATA } from '../check.ts';

export const productInNoTank: Check = {
  code: 'F129',
  severity: 'note',
  title: 'No tank holds a product',
  reason: 'It cannot be drawn anywhere.',
  mend: 'Add its tank, or take the product away.',
  source: DATA,
  *find(ctx) {
    for (const product of ctx.fleet.products.values())
      if (ctx.citing('tanks', 'product', product.id).length === 0)
        yield { on: [at('products', product.id)], text: `No tank holds ${ctx.called('products', product.id)}.` };
  },
};
