import { at, type Check, DATA } from '../check.ts';

export const siteOfNobody: Check = {
  code: 'F227',
  severity: 'warning',
  title: 'Nobody may use a site',
  reason: 'Everybody who comes there is refused.',
  mend: 'Add the site to the people and vehicles who use it.',
  source: DATA,
  *find(ctx) {
    const used = new Set<string>();
    for (const table of ['drivers', 'vehicles'] as const)
      for (const row of ctx.fleet[table].values()) {
        if (!row.active) continue;
        if (row.sites === null) return;
        for (const site of row.sites) used.add(site);
      }
    for (const site of ctx.liveSites)
      if (!used.has(site.id))
        yield {
          on: [at('sites', site.id)],
          text: `No active driver and no active vehicle may use ${ctx.called('sites', site.id)}.`,
        };
  },
};
