import { LEAST_USEFUL } from '../../decide/index.ts';
import { at, type Check, PRACTICE } from '../check.ts';

export const mostBelowLeast: Check = {
  code: 'F132',
  severity: 'error',
  title: 'A hose’s most per fill is too small to give anything',
  reason: 'A limit below 0.1 l is refused, because nothing useful can be metered below it.',
  mend: 'Raise the most per fill, or take the hose out of service.',
  source: PRACTICE,
  *find(ctx) {
    for (const hose of ctx.liveHoses)
      if (hose.mostPerFill < LEAST_USEFUL)
        yield {
          on: [at('hoses', hose.id, 'mostPerFill')],
          text: `${ctx.called('hoses', hose.id)} gives at most ${ctx.volume(hose.mostPerFill)} a fill.`,
        };
  },
};
