import { chartOfTank, litresAt, shapeOfTank } from '../../metering/index.ts';
import { at, type Check, PRACTICE } from '../check.ts';

const UL = 1_000_000;
const PART = 0.02;

export const chartUnlikeBody: Check = {
  code: 'F137',
  severity: 'warning',
  title: 'A tank’s strapping table is unlike its body',
  reason:
    'The table is used, and at some level it differs from the measures by more than 2 % of the tank: it may be another tank’s, or in other units.',
  mend: 'Compare the table with the tank’s plate and units; correct the measures, or empty them where the table is right.',
  source: PRACTICE,
  *find(ctx) {
    for (const tank of ctx.fleet.tanks.values()) {
      const [chart, shape] = [tank.chart && chartOfTank(tank), shapeOfTank(tank)];
      if (!chart || !shape) continue;
      let most = { apart: 0, dip: 0 };
      for (const [i, dip] of chart.dipMm.entries()) {
        const body = litresAt(shape, dip);
        // A dip that the body has no room for is as far off as the whole row.
        const apart = Math.abs((chart.litres[i] as number) - (body.ok ? body.value : 0)) * UL;
        if (apart > most.apart) most = { apart, dip };
      }
      if (most.apart <= PART * tank.capacity) continue;
      yield {
        on: [at('tanks', tank.id, 'chart')],
        text: `${ctx.called('tanks', tank.id)}: at ${Math.round(most.dip)} mm the strapping table is ${ctx.volume(Math.round(most.apart))} from what its measures give.`,
      };
    }
  },
};
