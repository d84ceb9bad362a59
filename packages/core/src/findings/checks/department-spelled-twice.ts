import { at, type Check, DATA } from '../check.ts';
import { alike, folded, listed } from '../context.ts';

export const departmentSpelledTwice: Check = {
  code: 'F226',
  severity: 'note',
  title: 'A department is spelled in more than one way',
  reason: 'Expectations and statements by department would miss some of its people.',
  mend: 'Choose one spelling.',
  source: DATA,
  *find(ctx) {
    const spellings = new Map<string, { text: string; on: ReturnType<typeof at> }>();
    for (const table of ['drivers', 'vehicles'] as const)
      for (const row of ctx.fleet[table].values())
        if (row.department !== '' && !spellings.has(row.department))
          spellings.set(row.department, { text: row.department, on: at(table, row.id, 'department') });
    for (const group of alike(spellings.values(), (s) => folded(s.text)))
      yield {
        on: group.map((s) => s.on),
        text: `One department is written ${listed(group.map((s) => `“${s.text}”`))}.`,
      };
  },
};
