import { displaySize } from '../../island/index.ts';
import { at, type Check, DATA } from '../check.ts';
import { listed } from '../context.ts';

export const idleLineTooLong: Check = {
  code: 'F301',
  severity: 'warning',
  title: 'An idle line is longer than the display',
  reason: 'Its end is not shown.',
  mend: 'Shorten the line, or part it in two.',
  source: DATA,
  *find(ctx) {
    for (const t of ctx.fleet.terminals.values()) {
      const { columns } = displaySize(t);
      if (t.idleLayout !== null) continue;
      const long = t.idle.filter((line) => [...line].length > columns);
      if (long.length > 0)
        yield {
          on: [at('terminals', t.id, 'idle')],
          text: `The display of ${ctx.called('terminals', t.id)} has ${columns} columns: ${listed(long.map((line) => `“${line}”`))}.`,
        };
    }
  },
};
