import type { Allowance } from '../../fleet/index.ts';
import { coveredBy } from '../access.ts';
import { at, type Check, DATA } from '../check.ts';
import type { FindingContext } from '../context.ts';

const SPANS = [
  ['perDay', 'day'],
  ['perWeek', 'week'],
  ['perMonth', 'month'],
] as const;

export const moreWhenCutOff: Check = {
  code: 'F244',
  severity: 'note',
  title: 'Sites that are cut off may together give more than an allowance',
  reason:
    'A site that hears of no other counts its own fills alone. Each gives up to the whole limit, or up to the share that the allowance names.',
  mend: 'Nothing, if the yards lie far apart; else let it go on with a share, or decline, while cut off.',
  source: DATA,
  *find(ctx) {
    for (const a of ctx.fleet.allowances.values()) {
      const part = a.cutOff === 'goOn' ? 100 : a.cutOff === 'share' ? a.share : 0;
      const span = SPANS.find(([field]) => a[field] !== null);
      if (!span || part === 0) continue;
      const sites = sitesOf(ctx, a);
      if (sites * part <= 100) continue;
      const most = a[span[0]] as number;
      const worst = Math.floor((most * part) / 100) * sites;
      yield {
        on: [at('allowances', a.id, 'cutOff')],
        text: `${ctx.called('allowances', a.id)} gives ${ctx.volume(most)} a ${span[1]}; with all ${sites} sites cut off from each other up to ${ctx.volume(worst)}.`,
        facts: { sites, most, worst },
      };
    }
  },
};

const sitesOf = (ctx: FindingContext, a: Allowance): number => new Set(coveredBy(ctx, a).map((h) => h.site)).size;
