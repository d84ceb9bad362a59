import type { AnyRow, Fleet, Settings, TableName } from '@fillwright/core/fleet';
import { changedKeys, rowsOf, TABLE_NAMES } from '@fillwright/core/fleet';

/** A part of what the findings' worker must know: rows that are new or changed, and ids that are gone, of one table. */
export interface Part {
  readonly table: TableName;
  readonly rows: readonly AnyRow[];
  readonly gone: readonly string[];
}

/** The worker answers with the findings once it has a message with `ask`. */
export interface ToWorker {
  readonly settings: Settings;
  readonly part?: Part;
  readonly ask?: { readonly today: string };
}

/** Rows sent at once: copying them must not hold up the page. */
const MOST_ROWS = 2000;

/** What leads from one fleet to another, in parts small enough to be sent one by one; rows are compared by identity. */
export function* partsBetween(from: Fleet | undefined, to: Fleet): Generator<Part> {
  for (const table of TABLE_NAMES) {
    const after = rowsOf(to, table);
    const before = from ? rowsOf(from, table) : undefined;
    if (before === after) continue;
    let rows: AnyRow[] = [];
    const gone: string[] = [];
    for (const id of before ? changedKeys(before, after) : after.keys()) {
      const row = after.get(id);
      if (row) rows.push(row);
      else gone.push(id);
      if (rows.length === MOST_ROWS) {
        yield { table, rows, gone: [] };
        rows = [];
      }
    }
    if (rows.length > 0 || gone.length > 0) yield { table, rows, gone };
  }
}

/** The fleet with a part taken in; its maps are changed in place, for the worker alone holds them. */
export function takePart(tables: Record<string, Map<string, AnyRow>>, part: Part): void {
  tables[part.table] ??= new Map();
  const table = tables[part.table];
  for (const row of part.rows) table?.set(row.id, row);
  for (const id of part.gone) table?.delete(id);
}
