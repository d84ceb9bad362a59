import type { Possible, Table } from '../../reach/index.ts';
import { canEverFit } from '../access.ts';
import { at, type Check, DATA } from '../check.ts';
import { possibleIn } from '../possible.ts';

export const allowanceShadowed: Check = {
  code: 'F241',
  severity: 'warning',
  title: 'An allowance that another one always beats',
  reason:
    'Of somebody’s allowances the widest one counts. Whoever has this one has another that gives as much or more, wherever and whenever it fits.',
  mend: 'Take it away, or take the wider one from those whom this one should hold back.',
  source: DATA,
  *find(ctx) {
    const { table, can } = possibleIn(ctx);
    for (const id of besideAnother(table, can)) {
      const a = ctx.fleet.allowances.get(id);
      if (!a || !canEverFit(a)) continue;
      yield {
        on: [at('allowances', id)],
        text: `${ctx.called('allowances', id)} never counts: everybody who has it has a wider one.`,
      };
    }
  },
};

/** Allowances that never lead, of people who can draw and so lead with another at that. */
function besideAnother(table: Table, can: Possible): ReadonlySet<string> {
  const ids = new Set<string>();
  for (const holder of can.draws) {
    if (holder.list.terms.length < 2) continue;
    for (const { row, sites, products } of holder.list.terms) {
      if (can.leads.has(row.id) || ids.has(row.id)) continue;
      const met = table.hoses.some(
        (h) => products[h.product] === 1 && sites?.[h.site] !== 0 && holder.sites?.[h.site] !== 0,
      );
      if (met) ids.add(row.id);
    }
  }
  return ids;
}
