import { gaugeOfTank } from '../../metering/index.ts';
import { at, type Check, DATA } from '../check.ts';

export const chartThatCannotBe: Check = {
  code: 'F135',
  severity: 'error',
  title: 'A tank’s strapping table or body cannot be',
  reason: 'Volumes must rise with the dip, and a body needs possible measures: no level could be turned into a volume.',
  mend: 'Correct the row or the measure; a strapping table comes from the tank’s maker or a calibration.',
  source: DATA,
  *find(ctx) {
    for (const tank of ctx.fleet.tanks.values()) {
      const gauge = gaugeOfTank(tank);
      if (gauge.ok) continue;
      const first = gauge.error[0];
      if (!first) continue;
      const row = first.at?.row === undefined ? '' : ` in row ${first.at.row}`;
      const more = gauge.error.length > 1 ? ` ${gauge.error.length - 1} more are wrong.` : '';
      yield {
        on: [at('tanks', tank.id, tank.chart ? 'chart' : 'body')],
        text: `${ctx.called('tanks', tank.id)}: ${first.at?.field ?? 'chart'}${row} is ${first.found}, expected ${first.expected}.${more}`,
      };
    }
  },
};
