import { TABLES } from '../../fleet/index.ts';
import { at, type Check, DATA } from '../check.ts';
import { alike, folded } from '../context.ts';

export const partsOfOneName: Check = {
  code: 'F123',
  severity: 'warning',
  title: 'Two parts of one kind at a site have one name',
  reason: 'A delivery or a dip would be booked on the wrong one.',
  mend: 'Give each its own name, as it is marked in the yard.',
  source: DATA,
  *find(ctx) {
    for (const table of ['islands', 'tanks', 'pumps', 'terminals'] as const)
      for (const group of alike(ctx.fleet[table].values(), (part) => `${part.site} ${folded(part.name)}`))
        yield {
          on: group.map((part) => at(table, part.id, 'name')),
          text: `${group.length} ${TABLES[table].many} of ${ctx.called('sites', group[0]?.site ?? '')} are called “${group[0]?.name}”.`,
        };
  },
};
