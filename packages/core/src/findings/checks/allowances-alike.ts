import type { Allowance } from '../../fleet/index.ts';
import { at, type Check, DATA } from '../check.ts';
import { alike, listed } from '../context.ts';

export const allowancesAlike: Check = {
  code: 'F216',
  severity: 'note',
  title: 'Two allowances say the same',
  reason: 'A change to one is easily forgotten in the other.',
  mend: 'Keep one, unless they are to part later.',
  source: DATA,
  *find(ctx) {
    const rules = (a: Allowance) => {
      const { id: _id, name: _name, ...rest } = a;
      const sites = rest.sites === null ? null : [...rest.sites].sort();
      return JSON.stringify({ ...rest, products: [...rest.products].sort(), sites });
    };
    for (const group of alike(ctx.fleet.allowances.values(), rules))
      yield {
        on: group.map((a) => at('allowances', a.id)),
        text: `${listed(group.map((a) => `“${a.name}”`))} have the same rules.`,
      };
  },
};
