import { referencesOf, rowsOf, TABLE_NAMES, TABLES } from '../../fleet/index.ts';
import { at, type Check, DATA } from '../check.ts';

export const danglingReference: Check = {
  code: 'F101',
  severity: 'error',
  title: 'A record refers to one that does not exist',
  reason:
    'Whatever depends on the missing record cannot work: a hose without its pump, a driver without the allowance.',
  mend: 'Make the missing record, or choose another.',
  source: DATA,
  *find(ctx) {
    for (const table of TABLE_NAMES)
      for (const row of rowsOf(ctx.fleet, table).values()) {
        let told: Set<string> | undefined;
        for (const ref of referencesOf(table, row)) {
          if (rowsOf(ctx.fleet, ref.to).has(ref.id)) continue;
          const key = `${ref.field} ${ref.id}`;
          told ??= new Set();
          if (told.has(key)) continue;
          told.add(key);
          yield {
            on: [at(table, row.id, ref.field), at(ref.to, ref.id)],
            text: `${ctx.called(table, row.id)} refers to the ${TABLES[ref.to].one} “${ref.id}”, which does not exist.`,
          };
        }
      }
  },
};
