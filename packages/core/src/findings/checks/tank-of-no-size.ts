import { at, type Check, DATA } from '../check.ts';

export const tankOfNoSize: Check = {
  code: 'F116',
  severity: 'error',
  title: 'A tank has no capacity',
  reason: 'Ullage, safe fill and every stock figure come from it.',
  mend: 'Enter the capacity from the tank’s plate or chart.',
  source: DATA,
  *find(ctx) {
    for (const tank of ctx.fleet.tanks.values())
      if (tank.capacity === 0)
        yield {
          on: [at('tanks', tank.id, 'capacity')],
          text: `${ctx.called('tanks', tank.id)} has a capacity of zero.`,
        };
  },
};
