import { shapeOfTank } from '../../metering/index.ts';
import { at, type Check, DATA } from '../check.ts';

const NEEDS = {
  lying: ['diameter', 'length'],
  standing: ['diameter', 'height'],
  box: ['length', 'width', 'height'],
} as const;

export const bodyWithoutAMeasure: Check = {
  code: 'F138',
  severity: 'note',
  title: 'A tank’s body lacks a measure',
  reason: 'Without all of its measures a level is not turned into a volume by the tank’s body.',
  mend: 'Add the missing measure, or the maker’s strapping table.',
  source: DATA,
  *find(ctx) {
    for (const tank of ctx.fleet.tanks.values()) {
      if (tank.chart || shapeOfTank(tank)) continue;
      const missing = NEEDS[tank.body].filter((field) => tank[field] === null);
      if (missing.length === NEEDS[tank.body].length) continue;
      yield {
        on: [at('tanks', tank.id, missing[0])],
        text: `${ctx.called('tanks', tank.id)} lacks its ${missing.join(' and ')}.`,
      };
    }
  },
};
