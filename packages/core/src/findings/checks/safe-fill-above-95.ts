import { at, type Check } from '../check.ts';

export const safeFillAbove95: Check = {
  code: 'F118',
  severity: 'warning',
  title: 'A tank’s safe fill is above 95 %',
  reason:
    'Overfill prevention of underground tanks must shut off at 95 % of capacity or less; local codes may ask for less.',
  mend: 'Set 95 % or what your local code asks for.',
  source: '40 CFR 280.20(c), for tanks under that part',
  *find(ctx) {
    for (const tank of ctx.fleet.tanks.values())
      if (tank.safeFill > 95)
        yield {
          on: [at('tanks', tank.id, 'safeFill')],
          text: `${ctx.called('tanks', tank.id)} has a safe fill of ${tank.safeFill} %.`,
        };
  },
};
