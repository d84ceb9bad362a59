import { at, type Check, DATA } from '../check.ts';

export const costCentreOfNobody: Check = {
  code: 'F233',
  severity: 'note',
  title: 'Nothing is charged to a cost centre',
  reason: 'Its statement is always empty.',
  mend: 'Give it its drivers or vehicles, or take it away.',
  source: DATA,
  *find(ctx) {
    for (const c of ctx.fleet.costCentres.values())
      if (ctx.citing('drivers', 'costCentre', c.id).length + ctx.citing('vehicles', 'costCentre', c.id).length === 0)
        yield {
          on: [at('costCentres', c.id)],
          text: `No driver and no vehicle is charged to ${ctx.called('costCentres', c.id)}.`,
        };
  },
};
