import { LAYOUT_FIELDS } from '../../fleet/index.ts';
import { at, type Check, PRACTICE } from '../check.ts';

const SHOWN = { idle: '', flowing: 'while fuel flows', filled: 'after a fill', receipt: 'on the receipt' } as const;

export const layoutLacksField: Check = {
  code: 'F322',
  severity: 'warning',
  title: 'A layout leaves out what a driver should read',
  reason:
    'Without quantity and, where a price is in force, price and amount, a driver can check nothing; local rules for trade may ask for more.',
  mend: 'Add a row with the field, or go back to the usual layout.',
  source: PRACTICE,
  *find(ctx) {
    for (const t of ctx.fleet.terminals.values()) {
      const missing = ctx.layoutFaults(t.id)?.missing ?? [];
      for (const layout of new Set(missing.map((m) => m.layout))) {
        const words: Readonly<Record<string, string>> = LAYOUT_FIELDS[layout];
        const fields = missing.filter((m) => m.layout === layout).map((m) => (words[m.field] ?? m.field).toLowerCase());
        yield {
          on: [at('terminals', t.id, `${layout}Layout`)],
          text: `${ctx.called('terminals', t.id)} does not show ${SHOWN[layout]}: ${fields.join(', ')}.`,
        };
      }
    }
  },
};
