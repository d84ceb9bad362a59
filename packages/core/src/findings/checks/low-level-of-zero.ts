import { at, type Check, PRACTICE } from '../check.ts';

export const lowLevelOfZero: Check = {
  code: 'F125',
  severity: 'note',
  title: 'A tank’s low level is zero',
  reason: 'Nothing stops the hoses before the pump draws air, which harms submersible pumps and meters.',
  mend: 'Set the level below which the pump draws air, from the tank’s drawings.',
  source: PRACTICE,
  *find(ctx) {
    for (const tank of ctx.fleet.tanks.values())
      if (tank.low === 0)
        yield { on: [at('tanks', tank.id, 'low')], text: `${ctx.called('tanks', tank.id)} is never low.` };
  },
};
