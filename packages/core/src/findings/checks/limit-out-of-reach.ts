import { at, type Check, DATA } from '../check.ts';

export const limitOutOfReach: Check = {
  code: 'F106',
  severity: 'warning',
  title: 'A hose cannot give its most within its longest fill',
  reason: 'The fill is cut by the clock before it comes to the limit, and people call it a fault.',
  mend: 'Lengthen the longest fill, or lower the most per fill.',
  source: DATA,
  *find(ctx) {
    for (const hose of ctx.fleet.hoses.values()) {
      const most = hose.flow * hose.longest;
      if (hose.mostPerFill <= most) continue;
      yield {
        on: [at('hoses', hose.id, 'longest')],
        text: `${ctx.called('hoses', hose.id)} gives at most ${ctx.volume(most)} in ${hose.longest} minutes at its rated flow, less than its most per fill of ${ctx.volume(hose.mostPerFill)}.`,
        facts: { mostUl: most },
      };
    }
  },
};
