import { type Problem, problem } from '@fillwright/core/errors';
import {
  type AnyRow,
  canonical,
  checkRow,
  type Edit,
  type Field,
  type Fleet,
  fieldsOf,
  ID_PATTERN,
  newRow,
  rowsOf,
  TABLE_NAMES,
  type TableName,
} from '@fillwright/core/fleet';
import { atOnce, byRows, type Progress } from './by-rows.ts';
import { cellValue, isLiteral } from './cells.ts';
import { deriveId, keyFieldsOf } from './derive-id.ts';
import { type Column, columnsOf, SETTINGS, STRAPPING, sheetsByRole } from './headings.ts';
import type { RawRow, RawSheet } from './read-intake.ts';
import { settingsFrom } from './settings-sheet.ts';
import { strappingsFrom } from './strapping.ts';

export interface Count {
  readonly new: number;
  readonly changed: number;
  readonly same: number;
}

/** What an import would do: edits for the good rows, and a problem with its exact place for every cell that is not. */
export interface Imported {
  readonly edits: readonly Edit[];
  readonly problems: readonly Problem[];
  readonly counts: { readonly [T in TableName]: Count };
}

interface Draft {
  readonly raw: RawRow;
  readonly id: string;
}

interface Plan {
  readonly table: TableName;
  readonly sheet: RawSheet;
  readonly columns: readonly Column[];
  readonly drafts: readonly Draft[];
}

/**
 * Reads sheets named as the tables of a fleet, with headings in the first row, against the fleet `base`. Rows are known by their id, or
 * without one by what they are called; rows of `base` that the sheets do not name stay. A column that is not there leaves a standing
 * row's field alone; an empty cell is the field's starting value. A row with a bad cell makes problems and no edit.
 */
export const toFleet = (sheets: readonly RawSheet[], base: Fleet): Imported => atOnce(toFleetByRows(sheets, base));

/** The same, saying how far it is. */
export function* toFleetByRows(sheets: readonly RawSheet[], base: Fleet): Generator<Progress, Imported> {
  const problems: Problem[] = [];
  const edits: Edit[] = [];
  const roles = sheetsByRole(sheets, problems);
  const settings = settingsFrom(roles.get(SETTINGS), base, problems);
  if (settings) edits.push(settings.edit);
  // Every row's id and name must be known before any reference is read.
  let known: Fleet = { ...base, settings: settings?.settings ?? base.settings };
  const plans: Plan[] = [];
  // A row is gone through twice: to be named and to be read.
  const of = 2 * sheets.reduce((sum, sheet) => sum + sheet.rows.length, 0);
  let done = 0;
  for (const table of TABLE_NAMES) {
    const sheet = roles.get(table);
    if (!sheet) continue;
    const columns = columnsOf(table, sheet, problems);
    const { drafts, rows } = yield* nameRows(table, sheet, columns, known, problems, { done, of });
    done += sheet.rows.length;
    plans.push({ table, sheet, columns, drafts });
    known = { ...known, [table]: rows };
  }
  const counts = Object.fromEntries(TABLE_NAMES.map((t) => [t, { new: 0, changed: 0, same: 0 }])) as {
    [T in TableName]: { new: number; changed: number; same: number };
  };
  for (const plan of plans) {
    noteMissingColumns(plan, base, problems);
    const each = (draft: Draft) => {
      const change = rowEdit(plan, draft, base, known, problems);
      if (change === undefined) return;
      counts[plan.table][change.kind]++;
      if (change.edit) edits.push(change.edit);
    };
    yield* byRows(plan.drafts, each, done, of);
    done += plan.drafts.length;
  }
  for (const [id, chart] of strappingsFrom(roles.get(STRAPPING), known, problems)) {
    if (canonical(base.tanks.get(id)?.chart ?? null) === canonical(chart)) continue;
    if (base.tanks.has(id) && !edits.some((e) => e.op === 'set' && e.table === 'tanks' && e.id === id)) {
      counts.tanks.changed++;
      if (plans.some((p) => p.table === 'tanks' && p.drafts.some((d) => d.id === id))) counts.tanks.same--;
    }
    // After the tank itself, which may be new in this very workbook.
    if (base.tanks.has(id) || edits.some((e) => e.op === 'put' && e.table === 'tanks' && e.row.id === id))
      edits.push({ op: 'set', table: 'tanks', id, fields: { chart } });
  }
  return { edits, problems, counts };
}

const cellOf = (raw: RawRow, column: Column): string => raw.cells[column.index] ?? '';

/** Gives every row its id: those that bring one first, so that no made id takes it from them. */
function* nameRows(
  table: TableName,
  sheet: RawSheet,
  columns: readonly Column[],
  known: Fleet,
  problems: Problem[],
  { done, of }: Progress,
): Generator<Progress, { drafts: Draft[]; rows: ReadonlyMap<string, AnyRow> }> {
  const idColumn = columns.find((c) => c.field.kind === 'id');
  const keys = keyFieldsOf(table);
  const keyColumns = columns.filter((c) => keys.has(c.field.name) || c.field.name === 'name');
  const standing = rowsOf(known, table);
  const rows = new Map(standing);
  const taken = new Set<string>();
  const ids = new Map<RawRow, string>();
  const raws = sheet.rows.slice(1).filter((raw) => columns.some((c) => cellOf(raw, c).trim() !== ''));
  const called = (raw: RawRow): Record<string, unknown> => {
    const row: Record<string, unknown> = {};
    for (const column of keyColumns) {
      const value = cellValue(column.field, cellOf(raw, column), known, column.unit);
      if (value.ok) row[column.field.name] = value.value;
    }
    return row;
  };
  const give = (raw: RawRow, id: string) => {
    taken.add(id);
    ids.set(raw, id);
    rows.set(id, { ...standing.get(id), ...called(raw), id });
  };
  for (const raw of raws) {
    const text = idColumn ? cellOf(raw, idColumn).trim() : '';
    if (!idColumn || text === '') continue;
    const at = { in: sheet.name, row: raw.number, field: idColumn.heading };
    const read = cellValue(idColumn.field, text, known);
    const id = read.ok ? String(read.value) : text;
    if (!ID_PATTERN.test(id)) {
      const expected = 'small letters, digits and hyphens, at most 60; or empty, to have one made';
      problems.push(problem('FW-107', { at, found: text.slice(0, 80), expected }));
    } else if (taken.has(id)) problems.push(problem('FW-108', { at, found: id }));
    else give(raw, id);
  }
  const unnamed = idColumn ? raws.filter((raw) => cellOf(raw, idColumn).trim() === '') : raws;
  yield* byRows(unnamed, (raw) => give(raw, deriveId(table, called(raw), standing, taken)), done, of);
  const drafts = raws.flatMap((raw): Draft[] => {
    const id = ids.get(raw);
    return id === undefined ? [] : [{ raw, id }];
  });
  return { drafts, rows };
}

/** A field that a new row cannot do without and that the sheet has no column for is said once, not on every row. */
function noteMissingColumns(plan: Plan, base: Fleet, problems: Problem[]): void {
  if (!plan.drafts.some((d) => !rowsOf(base, plan.table).has(d.id))) return;
  for (const field of neededFields(plan.table))
    if (!plan.columns.some((c) => c.field.name === field.name))
      problems.push(problem('FW-105', { at: { in: plan.sheet.name, field: field.label }, expected: field.label }));
}

const neededFields = (table: TableName): Field[] =>
  fieldsOf(table).filter((field) => field.kind !== 'id' && !field.schema.safeParse(field.start).success);

interface Change {
  readonly kind: keyof Count;
  readonly edit?: Edit;
}

function rowEdit(plan: Plan, draft: Draft, base: Fleet, known: Fleet, problems: Problem[]): Change | undefined {
  const { table, sheet, columns } = plan;
  const old = rowsOf(base, table).get(draft.id);
  const fields: Record<string, unknown> = {};
  let bad = false;
  for (const column of columns) {
    if (column.field.kind === 'id') continue;
    const text = cellOf(draft.raw, column);
    const at = { in: sheet.name, row: draft.raw.number, field: column.heading };
    const value = cellValue(column.field, text, known, column.unit);
    if (value.ok) {
      fields[column.field.name] = value.value;
      noteDangling(column.field, value.value, text, known, at, problems);
    } else {
      problems.push({ ...value.error, at });
      bad = true;
    }
  }
  if (!old && neededFields(table).some((field) => !columns.some((c) => c.field.name === field.name))) return undefined;
  if (bad) return undefined;
  const row: AnyRow = { ...(old ?? newRow(table, { id: draft.id } as never)), ...fields, id: draft.id };
  const wrong = checkRow(table, row);
  if (wrong.length > 0) {
    for (const p of wrong) {
      const name = p.at?.field?.split('.')[0];
      const heading = columns.find((c) => c.field.name === name)?.heading ?? name;
      const at = { in: sheet.name, row: draft.raw.number, ...(heading === undefined ? {} : { field: heading }) };
      problems.push({ ...p, at });
    }
    return undefined;
  }
  if (!old) return { kind: 'new', edit: { op: 'put', table, row } };
  const changed = Object.fromEntries(
    Object.entries(fields).filter(([name, value]) => canonical(value) !== canonical(old[name])),
  );
  return Object.keys(changed).length === 0
    ? { kind: 'same' }
    : { kind: 'changed', edit: { op: 'set', table, id: draft.id, fields: changed } };
}

/** A reference to nothing is kept, because the row may come later, but it is said; a literal one is meant so. */
function noteDangling(
  field: Field,
  value: unknown,
  text: string,
  known: Fleet,
  at: NonNullable<Problem['at']>,
  problems: Problem[],
): void {
  if (!field.ref || value === null || isLiteral(field, text)) return;
  const rows = rowsOf(known, field.ref);
  const missing = (Array.isArray(value) ? value : [value]).map(String).filter((id) => !rows.has(id));
  if (missing.length > 0) problems.push(problem('FW-202', { at, found: missing.join('; ').slice(0, 80) }));
}
