import { rowsOf } from '../../fleet/index.ts';
import { subjectOf } from '../../reach/index.ts';
import { at, type Check, DATA } from '../check.ts';
import { folded } from '../context.ts';

const TABLE_OF = { driver: 'drivers', vehicle: 'vehicles', costCentre: 'costCentres' } as const;

export const wishAboutNobody: Check = {
  code: 'F236',
  severity: 'error',
  title: 'An expectation speaks of nobody',
  reason: 'It is kept whatever the fleet says, so it proves nothing.',
  mend: 'Name the driver, vehicle, cost centre or department as it stands in the roster.',
  source: DATA,
  *find(ctx) {
    const departments = new Set<string>();
    for (const table of ['drivers', 'vehicles'] as const)
      for (const row of ctx.fleet[table].values()) departments.add(folded(row.department));
    for (const e of ctx.fleet.expectations.values()) {
      const { subject } = subjectOf(e.who);
      if (subject === 'everyone') continue;
      const known =
        subject === 'department'
          ? folded(e.whoName) !== '' && departments.has(folded(e.whoName))
          : rowsOf(ctx.fleet, TABLE_OF[subject]).has(e.whoName);
      if (!known)
        yield {
          on: [at('expectations', e.id, 'whoName')],
          text: `${ctx.called('expectations', e.id)} speaks of “${e.whoName}”, whom the roster does not have.`,
        };
    }
  },
};
