import { barred } from '../access.ts';
import { at, type Check, DATA } from '../check.ts';

export const siteNotUsable: Check = {
  code: 'F238',
  severity: 'warning',
  title: 'Somebody may use no site that works',
  reason: 'They are active, but every site of theirs is missing, out of service or without hoses.',
  mend: 'Give them a site, or make them inactive.',
  source: DATA,
  *find(ctx) {
    for (const { side, holder, why } of barred(ctx)) {
      if (why !== 'site') continue;
      const table = side === 'driver' ? 'drivers' : 'vehicles';
      yield {
        on: [at(table, holder.id, 'sites')],
        text: `${ctx.called(table, holder.id)} may use no site with a hose in service.`,
      };
    }
  },
};
