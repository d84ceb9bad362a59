import { at, type Check, DATA } from '../check.ts';

export const pumpWithoutHose: Check = {
  code: 'F119',
  severity: 'warning',
  title: 'A pump has no hose',
  reason: 'Nothing can be drawn by it; most often hoses were forgotten or joined to another pump.',
  mend: 'Join its hoses, or take the pump away.',
  source: DATA,
  *find(ctx) {
    for (const pump of ctx.fleet.pumps.values())
      if (ctx.citing('hoses', 'pump', pump.id).length === 0)
        yield { on: [at('pumps', pump.id)], text: `No hose is on ${ctx.called('pumps', pump.id)}.` };
  },
};
