import { rowsOf } from '../../fleet/index.ts';
import { at, type Check, DATA } from '../check.ts';

const PARTS = [
  ['pumps', 'tanks', 'tanks'],
  ['terminals', 'island', 'islands'],
  ['hoses', 'island', 'islands'],
  ['hoses', 'pump', 'pumps'],
  ['hoses', 'terminals', 'terminals'],
] as const;

export const partOfAnotherSite: Check = {
  code: 'F110',
  severity: 'error',
  title: 'A part is joined to a part of another site',
  reason: 'A site works by itself: what stands elsewhere cannot be switched, drawn from or chosen here.',
  mend: 'Choose a part of the same site, or move the part to that site.',
  source: DATA,
  *find(ctx) {
    for (const [table, field, to] of PARTS)
      for (const row of rowsOf(ctx.fleet, table).values())
        for (const id of new Set([row[field]].flat())) {
          const other = rowsOf(ctx.fleet, to).get(String(id));
          if (!other || other.site === row.site) continue;
          yield {
            on: [at(table, row.id, field), at(to, other.id, 'site')],
            text: `${ctx.called(table, row.id)} stands at ${ctx.called('sites', String(row.site))}, ${ctx.called(to, other.id)} at ${ctx.called('sites', String(other.site))}.`,
          };
        }
  },
};
