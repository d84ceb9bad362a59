import { at, type Check, DATA } from '../check.ts';

export const pumpWithoutTank: Check = {
  code: 'F113',
  severity: 'error',
  title: 'A pump has no tank',
  reason: 'Its hoses could draw without anything being booked from a tank, or stop at no low level.',
  mend: 'Name the tank or tanks that it draws from.',
  source: DATA,
  *find(ctx) {
    for (const pump of ctx.fleet.pumps.values())
      if (pump.tanks.length === 0)
        yield { on: [at('pumps', pump.id, 'tanks')], text: `${ctx.called('pumps', pump.id)} draws from no tank.` };
  },
};
