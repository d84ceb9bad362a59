import { at, type Check, DATA } from '../check.ts';

export const shortNameTooLong: Check = {
  code: 'F307',
  severity: 'warning',
  title: 'A product’s short name is too long',
  reason: 'Displays and receipts keep twelve characters for it.',
  mend: 'Shorten it.',
  source: DATA,
  *find(ctx) {
    for (const p of ctx.fleet.products.values())
      if ([...p.short].length > 12)
        yield {
          on: [at('products', p.id, 'short')],
          text: `The short name “${p.short}” has ${[...p.short].length} characters.`,
        };
  },
};
