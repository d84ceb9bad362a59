import { at, type Check, DATA } from '../check.ts';

export const tankNotDrawnFrom: Check = {
  code: 'F112',
  severity: 'warning',
  title: 'No hose draws from a tank',
  reason: 'What is delivered into it never leaves by a meter, so its book cannot be right.',
  mend: 'Join the tank to a pump with hoses, or take it away.',
  source: DATA,
  *find(ctx) {
    for (const tank of ctx.fleet.tanks.values())
      if (ctx.citing('pumps', 'tanks', tank.id).every((p) => ctx.citing('hoses', 'pump', p.id).length === 0))
        yield { on: [at('tanks', tank.id)], text: `No hose draws from ${ctx.called('tanks', tank.id)}.` };
  },
};
