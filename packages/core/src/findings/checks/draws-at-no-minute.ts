import { barred } from '../access.ts';
import { at, type Check, DATA } from '../check.ts';
import { possibleIn } from '../possible.ts';

export const drawsAtNoMinute: Check = {
  code: 'F243',
  severity: 'warning',
  title: 'Somebody who may draw at no minute of the week',
  reason:
    'Their products and sites fit, but their times and quantities never meet those of the hoses and of anybody whom they could come with.',
  mend: 'Widen the times or the limits, or give them and those whom they come with times that overlap.',
  source: DATA,
  *find(ctx) {
    const { table, can } = possibleIn(ctx);
    const barredOnes = new Set(barred(ctx).map((b) => `${b.side}:${b.holder.id}`));
    // What is asked of everybody there and can be answered by nobody is a finding of its own, as are dates that are over.
    for (const holders of [table.drivers, table.vehicles]) {
      for (const holder of holders) {
        if (can.draws.has(holder) || holder.mute || holder.days.length === 0) continue;
        for (const { key, table: of, id } of holder.members) {
          if (barredOnes.has(key)) continue;
          yield { on: [at(of, id, 'allowances')], text: `${ctx.called(of, id)} may draw at no minute of the week.` };
        }
      }
    }
  },
};
