import { at, type Check, DATA } from '../check.ts';
import { alike, folded, listed } from '../context.ts';

export const productsAlikeOnDisplay: Check = {
  code: 'F319',
  severity: 'warning',
  title: 'Two products look the same on a display',
  reason: 'A person would choose, and a receipt would name, the wrong one.',
  mend: 'Give each its own short name.',
  source: DATA,
  *find(ctx) {
    for (const group of alike(ctx.fleet.products.values(), (p) =>
      folded([...(p.short.trim() === '' ? p.name : p.short)].slice(0, 12).join('')),
    ))
      yield {
        on: group.map((p) => at('products', p.id, 'short')),
        text: `${listed(group.map((p) => ctx.called('products', p.id)))} are shown as “${group[0]?.short || group[0]?.name}”.`,
      };
  },
};
