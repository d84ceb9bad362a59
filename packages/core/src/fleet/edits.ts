import { z } from 'zod';
import { err, ok, type Problem, problem, type Result } from '../errors/index.ts';
import { idText, type TableName } from './fields.ts';
import { canonical, checkRow, type Fleet, rowsOf, type Settings, settingsSchema } from './fleet.ts';
import { changedKeys, Patched } from './patched.ts';
import { type AnyRow, TABLE_NAMES } from './tables.ts';

/**
 * One change to a fleet. `put` writes a whole row (new or not), `set` changes fields of a row that stands, `remove` takes a row away,
 * `settings` changes fleet-wide settings. `set` names fields only, so two people who change different fields of one row both win.
 */
const tableName = z.enum(TABLE_NAMES as [TableName, ...TableName[]]);
export const editSchema = z.discriminatedUnion('op', [
  z.strictObject({ op: z.literal('put'), table: tableName, row: z.record(z.string(), z.unknown()) }),
  z.strictObject({ op: z.literal('set'), table: tableName, id: idText, fields: z.record(z.string(), z.unknown()) }),
  z.strictObject({ op: z.literal('remove'), table: tableName, id: idText }),
  z.strictObject({ op: z.literal('settings'), fields: z.record(z.string(), z.unknown()) }),
]);
export type Edit = z.infer<typeof editSchema>;

/**
 * The fleet after `edits`, all or nothing. Rows are checked; references are not, so that work can be done in any order. Costs what is
 * edited, whatever the size of the tables.
 */
export function applyEdits(fleet: Fleet, edits: readonly Edit[]): Result<Fleet, Problem[]> {
  const problems: Problem[] = [];
  const tables = new Map<TableName, Map<string, AnyRow | undefined>>();
  const change = (name: TableName, id: string, row: AnyRow | undefined) => {
    const changed = tables.get(name);
    if (changed) changed.set(id, row);
    else tables.set(name, new Map([[id, row]]));
  };
  const rowAt = (name: TableName, id: string) => {
    const changed = tables.get(name);
    return changed?.has(id) ? changed.get(id) : rowsOf(fleet, name).get(id);
  };
  let settings: Settings = fleet.settings;
  const write = (name: TableName, row: AnyRow) => {
    const wrong = checkRow(name, row);
    if (wrong.length > 0) problems.push(...wrong);
    else change(name, row.id, Object.freeze(row));
  };
  for (const edit of edits) {
    if (edit.op === 'settings') {
      const next = settingsSchema.safeParse({ ...settings, ...edit.fields });
      if (next.success) settings = next.data;
      else
        problems.push(
          problem('FW-201', {
            at: { in: 'settings' },
            expected: next.error.issues.map((i) => `${i.path.join('.')}: ${i.message}`).join('; '),
          }),
        );
    } else if (edit.op === 'put') write(edit.table, edit.row as AnyRow);
    else {
      const row = rowAt(edit.table, edit.id);
      if (!row) problems.push(problem('FW-204', { at: { in: edit.table, row: edit.id } }));
      else if (edit.op === 'remove') change(edit.table, edit.id, undefined);
      else if ('id' in edit.fields && edit.fields.id !== edit.id)
        problems.push(
          problem('FW-201', { at: { in: edit.table, row: edit.id, field: 'id' }, expected: 'an id does not change' }),
        );
      else write(edit.table, { ...row, ...edit.fields });
    }
  }
  const patched = ([name, changed]: [TableName, ReadonlyMap<string, AnyRow | undefined>]) =>
    [name, Patched.of(rowsOf(fleet, name), changed)] as const;
  return problems.length > 0
    ? err(problems)
    : ok({ ...fleet, settings, ...Object.fromEntries([...tables].map(patched)) } as unknown as Fleet);
}

/** The edits that lead from one fleet to another, smallest per row; `applyEdits(from, editsBetween(from, to))` equals `to`. */
export function editsBetween(from: Fleet, to: Fleet): Edit[] {
  const edits: Edit[] = [];
  if (canonical(from.settings) !== canonical(to.settings))
    edits.push({ op: 'settings', fields: changedFields(from.settings, to.settings) });
  for (const name of TABLE_NAMES) {
    const before = rowsOf(from, name);
    const after = rowsOf(to, name);
    for (const id of changedKeys(before, after)) {
      const [old, row] = [before.get(id), after.get(id)];
      if (!row) edits.push({ op: 'remove', table: name, id });
      else if (!old) edits.push({ op: 'put', table: name, row: { ...row } });
      else {
        const fields = changedFields(old, row);
        if (Object.keys(fields).length > 0) edits.push({ op: 'set', table: name, id, fields });
      }
    }
  }
  return edits;
}

function changedFields(
  from: Readonly<Record<string, unknown>>,
  to: Readonly<Record<string, unknown>>,
): Record<string, unknown> {
  const fields: Record<string, unknown> = {};
  for (const key of Object.keys(to))
    if (from[key] !== to[key] && canonical(from[key]) !== canonical(to[key])) fields[key] = to[key];
  return fields;
}

/** The edits that take `edits` back, to be applied to the fleet that `edits` led to. */
export function invert(before: Fleet, edits: readonly Edit[]): Result<Edit[], Problem[]> {
  const after = applyEdits(before, edits);
  return after.ok ? ok(editsBetween(after.value, before)) : after;
}
