import { at, type Check } from '../check.ts';

export const zoneShape: Check = {
  code: 'F121',
  severity: 'error',
  title: 'A time zone is not written as one',
  reason: 'Times, dates and day limits go by the site’s wall clock, and without its zone there is none.',
  mend: 'Write the zone by its name in the IANA time zone database, such as America/Chicago.',
  source: 'IANA time zone database, naming of zones',
  *find(ctx) {
    for (const site of ctx.fleet.sites.values())
      if (!/^(UTC|[A-Z][A-Za-z_+-]*(\/[A-Z][A-Za-z0-9_+-]*){1,2})$/.test(site.zone))
        yield {
          on: [at('sites', site.id, 'zone')],
          text: `${ctx.called('sites', site.id)} has the time zone “${site.zone}”.`,
        };
  },
};
