import type { Problem } from '@fillwright/core/errors';
import { problem } from '@fillwright/core/errors';
import {
  type AnyRow,
  type Edit,
  type Field,
  type Fleet,
  fieldsOf,
  formatValue,
  ID_PATTERN,
  newRow,
  parseValue,
  rowsOf,
  TABLES,
  type TableName,
} from '@fillwright/core/fleet';
import type { Column } from './columns.ts';

/** A block of cells, both ends included; `from` is above and left of `to`. */
export interface Rect {
  readonly top: number;
  readonly bottom: number;
  readonly left: number;
  readonly right: number;
}

/** A cell whose text was not taken, so that it can be shown and mended. */
export interface NotTaken {
  readonly row: number;
  readonly column: string;
  readonly problem: Problem;
}

export interface Changes {
  readonly edits: Edit[];
  readonly notTaken: NotTaken[];
}

/** What the changes are made in: a table of a fleet, the ids that are shown, the columns. */
export interface Shown {
  readonly fleet: Fleet;
  readonly table: TableName;
  readonly order: readonly string[];
  readonly columns: readonly Column[];
}

/** The cells of a block as text that a spreadsheet or another grid can take. */
export function cellsText({ fleet, table, order, columns }: Shown, rect: Rect): string[][] {
  const rows = rowsOf(fleet, table);
  const out: string[][] = [];
  for (let r = rect.top; r <= rect.bottom; r++) {
    const row = rows.get(order[r] ?? '');
    out.push(
      columns
        .slice(rect.left, rect.right + 1)
        .map(({ field }) => (row && row[field.name] !== null ? formatValue(field, row[field.name], fleet) : '')),
    );
  }
  return out;
}

/**
 * Text cells put into the grid with the block's top left as their place. One row of text fills a taller block, one cell a wider one too;
 * what goes beyond the last row makes new rows. Cells that cannot be read are left as they were and returned.
 */
export function pasteChanges(shown: Shown, cells: readonly (readonly string[])[], rect: Rect, today: string): Changes {
  const { fleet, table, order, columns } = shown;
  const height = Math.max(cells.length, cells.length === 1 ? rect.bottom - rect.top + 1 : 0);
  const only = cells.length === 1 && cells[0]?.length === 1;
  const rows = rowsOf(fleet, table);
  const taken = new Set<string>();
  const edits: Edit[] = [];
  const notTaken: NotTaken[] = [];
  for (let i = 0; i < height; i++) {
    const texts = cells[i % cells.length] ?? [];
    const width = only ? rect.right - rect.left + 1 : texts.length;
    const place = rect.top + i;
    const row = rows.get(order[place] ?? '');
    if (!row && texts.every((t) => t.trim() === '')) continue;
    const fields: Record<string, unknown> = {};
    for (let k = 0; k < width; k++) {
      const column = columns[rect.left + k];
      const text = texts[only ? 0 : k];
      if (!column || text === undefined) continue;
      const name = column.field.name;
      if (name === 'id') {
        if (row && text.trim() === row.id) continue;
        if (!row && ID_PATTERN.test(text.trim()) && !rows.has(text.trim()) && !taken.has(text.trim()))
          fields.id = text.trim();
        else
          notTaken.push({
            row: place,
            column: column.label,
            problem: row
              ? problem('FW-201', { found: text, expected: 'an id does not change' })
              : problem('FW-203', { found: text }),
          });
        continue;
      }
      const value = parseValue(column.field, text, fleet);
      if (value.ok) fields[name] = value.value;
      else notTaken.push({ row: place, column: column.label, problem: value.error });
    }
    if (row) {
      if (Object.keys(fields).length > 0) edits.push({ op: 'set', table, id: row.id, fields });
    } else {
      const made = freshRow(fleet, table, today, fields, taken);
      taken.add(made.id);
      edits.push({ op: 'put', table, row: made });
    }
  }
  return { edits, notTaken };
}

/** The block's first `height` rows repeated down to its end. */
export function fillChanges({ fleet, table, order, columns }: Shown, rect: Rect, height = 1): Changes {
  const rows = rowsOf(fleet, table);
  const edits: Edit[] = [];
  const names = columns.slice(rect.left, rect.right + 1).map((c) => c.field.name);
  for (let r = rect.top + height; r <= rect.bottom; r++) {
    const from = rows.get(order[rect.top + ((r - rect.top) % height)] ?? '');
    const id = order[r];
    if (!from || id === undefined) continue;
    const fields: Record<string, unknown> = {};
    for (const name of names) if (name !== 'id') fields[name] = from[name];
    if (Object.keys(fields).length > 0) edits.push({ op: 'set', table, id, fields });
  }
  return { edits, notTaken: [] };
}

/** Every cell of the block emptied; what may not be empty is returned. */
export function clearChanges(shown: Shown, rect: Rect): Changes {
  const { fleet, table, order, columns } = shown;
  const edits: Edit[] = [];
  const notTaken: NotTaken[] = [];
  const fields: Record<string, unknown> = {};
  for (const { field, label } of columns.slice(rect.left, rect.right + 1)) {
    if (field.name === 'id') continue;
    const value = parseValue(field, '', fleet);
    if (value.ok) fields[field.name] = value.value;
    else notTaken.push({ row: rect.top, column: label, problem: value.error });
  }
  if (Object.keys(fields).length > 0)
    for (let r = rect.top; r <= rect.bottom; r++) {
      const id = order[r];
      if (id !== undefined) edits.push({ op: 'set', table, id, fields: { ...fields } });
    }
  return { edits, notTaken };
}

/** The first free id of the kind 'driver-17'; `taken` are ids that are about to be given. */
function freshId(fleet: Fleet, table: TableName, taken: ReadonlySet<string> = new Set()): string {
  const rows = rowsOf(fleet, table);
  const stem = TABLES[table].one.replaceAll(' ', '-');
  for (let n = rows.size + taken.size + 1; ; n++) {
    const id = `${stem}-${n}`;
    if (!rows.has(id) && !taken.has(id)) return id;
  }
}

/** A new row that the table takes: starting values, and where none will do, something that says that it is to be chosen. */
export function freshRow(
  fleet: Fleet,
  table: TableName,
  today: string,
  given: Readonly<Record<string, unknown>> = {},
  taken: ReadonlySet<string> = new Set(),
): AnyRow {
  const row: Record<string, unknown> = newRow(table, { id: freshId(fleet, table, taken) });
  for (const field of fieldsOf(table)) {
    if (field.kind === 'date') row[field.name] = today;
    if (field.name !== 'id' && !field.schema.safeParse(row[field.name]).success)
      row[field.name] = something(fleet, table, field);
  }
  return { ...row, ...given } as AnyRow;
}

const something = (fleet: Fleet, table: TableName, field: Field): unknown => {
  if (field.kind === 'ref' && field.ref) return rowsOf(fleet, field.ref).keys().next().value ?? 'to-be-chosen';
  return `New ${TABLES[table].one}`;
};
