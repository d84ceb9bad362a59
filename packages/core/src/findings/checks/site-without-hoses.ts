import { at, type Check, DATA } from '../check.ts';

export const siteWithoutHoses: Check = {
  code: 'F120',
  severity: 'warning',
  title: 'A site in service has no hose in service',
  reason: 'Nobody can draw anything there.',
  mend: 'Add its hoses, or take the site out of service.',
  source: DATA,
  *find(ctx) {
    for (const site of ctx.liveSites)
      if (ctx.liveHosesAt.get(site.id)?.length === 0)
        yield { on: [at('sites', site.id)], text: `${ctx.called('sites', site.id)} has no hose in service.` };
  },
};
