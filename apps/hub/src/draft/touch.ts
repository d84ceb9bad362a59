import { type Problem, problem } from '@fillwright/core/errors';
import { type Edit, fieldOf, TABLES } from '@fillwright/core/fleet';

/** A change that came after the version at which somebody began theirs. */
export interface Since {
  readonly version: number;
  readonly by: string;
  readonly edits: readonly Edit[];
}

const WHOLE = '*';

/** What an edit touches: a record, and its fields, or the whole of it. */
function touched(edit: Edit): { record: string; fields: readonly string[] } {
  if (edit.op === 'settings') return { record: 'settings', fields: Object.keys(edit.fields) };
  if (edit.op === 'set') return { record: `${edit.table}/${edit.id}`, fields: Object.keys(edit.fields) };
  const id = edit.op === 'put' ? String(edit.row.id) : edit.id;
  return { record: `${edit.table}/${id}`, fields: [WHOLE] };
}

/**
 * Where `edits`, made at an older version, meet what others changed since. Two changes meet when they touch the same field of the same
 * record; a record put or taken away is touched in all its fields. None means that both changes stand.
 */
export function meetings(edits: readonly Edit[], since: readonly Since[]): Problem[] {
  const theirs = new Map<string, Map<string, Since>>();
  for (const change of since)
    for (const edit of change.edits) {
      const { record, fields } = touched(edit);
      let known = theirs.get(record);
      if (!known) {
        known = new Map();
        theirs.set(record, known);
      }
      for (const field of fields) known.set(field, change);
    }
  const problems: Problem[] = [];
  for (const edit of edits) {
    const { record, fields } = touched(edit);
    const known = theirs.get(record);
    if (!known) continue;
    for (const field of fields) {
      const met = field === WHOLE ? [...known] : [...known].filter(([f]) => f === field || f === WHOLE);
      for (const [their, change] of met) problems.push(meeting(record, their === WHOLE ? field : their, change));
    }
  }
  return problems;
}

function meeting(record: string, field: string, change: Since): Problem {
  const [table, row] = record.split('/') as [keyof typeof TABLES | 'settings', string | undefined];
  const what = table === 'settings' ? 'the settings' : `the ${TABLES[table].one} ${row}`;
  const label = table === 'settings' || field === WHOLE ? field : (fieldOf(table, field)?.label ?? field);
  const part = field === WHOLE ? what : `${what}: ${label}`;
  return problem('FW-301', {
    cause: `${change.by} changed ${part} after you began (version ${change.version}).`,
    at: { in: table, ...(row === undefined ? {} : { row }), ...(field === WHOLE ? {} : { field }) },
  });
}
