import { fieldsOf, rowsOf, TABLE_NAMES } from '../../fleet/index.ts';
import { at, type Check, DATA } from '../check.ts';
import { listed } from '../context.ts';

export const namedTwice: Check = {
  code: 'F128',
  severity: 'note',
  title: 'A list names the same thing twice',
  reason: 'It counts once; most often another one was meant.',
  mend: 'Take one away, or put in what was meant.',
  source: DATA,
  *find(ctx) {
    for (const table of TABLE_NAMES) {
      const lists = fieldsOf(table).filter((f) => f.kind === 'refs' || f.kind === 'dates');
      if (lists.length === 0) continue;
      for (const row of rowsOf(ctx.fleet, table).values())
        for (const field of lists) {
          const items = row[field.name];
          if (!Array.isArray(items) || items.length < 2 || new Set(items).size === items.length) continue;
          const twice = [...new Set(items.filter((item, i) => items.indexOf(item) !== i))];
          yield {
            on: [at(table, row.id, field.name)],
            text: `${ctx.called(table, row.id)} names ${listed(twice.map(String))} more than once under ${field.label}.`,
          };
        }
    }
  },
};
