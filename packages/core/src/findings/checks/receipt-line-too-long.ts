import { at, type Check, DATA } from '../check.ts';
import { listed } from '../context.ts';

export const receiptLineTooLong: Check = {
  code: 'F303',
  severity: 'warning',
  title: 'A receipt line is wider than the paper',
  reason: 'Its end is cut or falls on a line of its own.',
  mend: 'Shorten the line, or part it in two.',
  source: DATA,
  *find(ctx) {
    for (const t of ctx.fleet.terminals.values())
      for (const field of ['receiptHead', 'receiptFoot'] as const) {
        const width = t.paper;
        if (width === null || t.receiptLayout !== null) continue;
        const long = t[field].filter((line) => [...line].length > width);
        if (long.length > 0)
          yield {
            on: [at('terminals', t.id, field)],
            text: `The paper of ${ctx.called('terminals', t.id)} has ${width} columns: ${listed(long.map((line) => `“${line}”`))}.`,
          };
      }
  },
};
