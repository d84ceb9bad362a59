import { LEAST_USEFUL } from '../../decide/index.ts';
import { covers } from '../access.ts';
import { at, type Check, DATA } from '../check.ts';

export const hoseAlwaysDecides: Check = {
  code: 'F223',
  severity: 'note',
  title: 'A hose always gives less than every allowance',
  reason:
    'Its most per fill is below what any allowance for its product lets through, so the allowances’ figures never hold there.',
  mend: 'Nothing, if the hose is meant to decide; else raise its most per fill.',
  source: DATA,
  *find(ctx) {
    for (const hose of ctx.liveHoses) {
      if (hose.mostPerFill < LEAST_USEFUL) continue;
      const most = ctx
        .citing('allowances', 'products', hose.product)
        .filter((a) => covers(a, hose))
        .map((a) => a.perFill);
      if (most.length === 0 || !most.every((m) => m !== null && m > hose.mostPerFill)) continue;
      yield {
        on: [at('hoses', hose.id, 'mostPerFill')],
        text: `${ctx.called('hoses', hose.id)} gives at most ${ctx.volume(hose.mostPerFill)}; every allowance for its product lets more through.`,
      };
    }
  },
};
