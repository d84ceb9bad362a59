import { fullLitres, gaugeOfTank } from '../../metering/index.ts';
import { at, type Check, PRACTICE } from '../check.ts';

const UL = 1_000_000;
/** Makers state capacities in round figures. */
const PART = 0.02;

export const chartUnlikeCapacity: Check = {
  code: 'F136',
  severity: 'warning',
  title: 'A tank’s chart does not end at its capacity',
  reason:
    'Safe fill and the room for a delivery go by the capacity, levels by the chart: one of them is wrong by more than 2 %.',
  mend: 'Correct the capacity, or the strapping table or measures; a table that stops short cannot read a full tank.',
  source: PRACTICE,
  *find(ctx) {
    for (const tank of ctx.fleet.tanks.values()) {
      const gauge = gaugeOfTank(tank);
      if (!gauge.ok || !gauge.value || tank.capacity === 0) continue;
      const full = Math.round(fullLitres(gauge.value) * UL);
      if (Math.abs(full - tank.capacity) <= PART * tank.capacity) continue;
      yield {
        on: [at('tanks', tank.id, 'capacity')],
        text: `${ctx.called('tanks', tank.id)} holds ${ctx.volume(tank.capacity)}; its ${gauge.value.by === 'chart' ? 'strapping table' : 'body'} ends at ${ctx.volume(full)}.`,
      };
    }
  },
};
