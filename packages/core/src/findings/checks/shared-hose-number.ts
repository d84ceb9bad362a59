import { at, type Check, DATA } from '../check.ts';
import { alike } from '../context.ts';

export const sharedHoseNumber: Check = {
  code: 'F103',
  severity: 'error',
  title: 'Two hoses of a site have one number',
  reason: 'A person at the terminal chooses by number, and would not know which hose opens.',
  mend: 'Number the hoses as they are painted on the island, each once.',
  source: DATA,
  *find(ctx) {
    for (const group of alike(ctx.fleet.hoses.values(), (h) => `${h.site} ${h.number}`))
      yield {
        on: group.map((h) => at('hoses', h.id, 'number')),
        text: `${group.length} hoses of ${ctx.called('sites', group[0]?.site ?? '')} have the number ${group[0]?.number}.`,
      };
  },
};
