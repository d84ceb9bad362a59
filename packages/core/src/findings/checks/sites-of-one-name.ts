import { at, type Check, DATA } from '../check.ts';
import { alike, folded } from '../context.ts';

export const sitesOfOneName: Check = {
  code: 'F122',
  severity: 'warning',
  title: 'Two sites have one name',
  reason: 'People choose sites by name, and would change or send to the wrong one.',
  mend: 'Give each site its own name.',
  source: DATA,
  *find(ctx) {
    for (const group of alike(ctx.fleet.sites.values(), (s) => folded(s.name)))
      yield {
        on: group.map((s) => at('sites', s.id, 'name')),
        text: `${group.length} sites are called “${group[0]?.name}”.`,
      };
  },
};
