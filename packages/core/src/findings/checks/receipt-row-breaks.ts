import { at, type Check, DATA } from '../check.ts';
import { listed } from '../context.ts';

export const receiptRowBreaks: Check = {
  code: 'F321',
  severity: 'note',
  title: 'A row of a receipt’s layout can be wider than the paper',
  reason: 'It is printed on several lines: nothing is lost, but it reads badly.',
  mend: 'Put the name and the value on rows of their own, or leave the name out.',
  source: DATA,
  *find(ctx) {
    for (const t of ctx.fleet.terminals.values()) {
      const texts = new Set(ctx.layoutFaults(t.id)?.broken.map((b) => `“${b.text}” on ${b.lines} lines`));
      if (texts.size > 0)
        yield {
          on: [at('terminals', t.id, 'receiptLayout')],
          text: `The paper of ${ctx.called('terminals', t.id)} has ${t.paper} columns; with the longest names of the roster: ${listed([...texts])}.`,
        };
    }
  },
};
