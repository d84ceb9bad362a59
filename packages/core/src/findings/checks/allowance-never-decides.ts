import { at, type Check, DATA } from '../check.ts';
import { possibleIn } from '../possible.ts';

export const allowanceNeverDecides: Check = {
  code: 'F242',
  severity: 'note',
  title: 'A limit that never decides',
  reason:
    'Something else always stops the fill earlier: the other one’s allowance, the hose’s most per fill or the vehicle’s own tank.',
  mend: 'Nothing, if that is meant; else lower it to what should hold.',
  source: DATA,
  *find(ctx) {
    const { can } = possibleIn(ctx);
    for (const id of can.leads) {
      const a = ctx.fleet.allowances.get(id);
      if (can.decides.has(id) || !a || [a.perFill, a.perDay, a.perWeek, a.perMonth].every((most) => most === null))
        continue;
      yield {
        on: [at('allowances', id)],
        text: `The figures of ${ctx.called('allowances', id)} never set the limit of a fill.`,
      };
    }
  },
};
