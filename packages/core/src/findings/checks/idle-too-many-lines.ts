import { displaySize } from '../../island/index.ts';
import { at, type Check, DATA } from '../check.ts';

export const idleTooManyLines: Check = {
  code: 'F302',
  severity: 'warning',
  title: 'More idle lines than the display has rows',
  reason: 'The last lines are not shown.',
  mend: 'Take lines away.',
  source: DATA,
  *find(ctx) {
    for (const t of ctx.fleet.terminals.values()) {
      const { rows } = displaySize(t);
      if (t.idleLayout === null && t.idle.length > rows)
        yield {
          on: [at('terminals', t.id, 'idle')],
          text: `${ctx.called('terminals', t.id)} has ${t.idle.length} idle lines and ${rows} rows.`,
        };
    }
  },
};
