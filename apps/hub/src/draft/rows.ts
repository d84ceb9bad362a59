import {
  type AnyRow,
  type Edit,
  emptyFleet,
  type Fleet,
  fieldsOf,
  rowsOf,
  type Settings,
  TABLE_NAMES,
  type TableName,
} from '@fillwright/core/fleet';
import type { Tx } from '../store/database.ts';

const SETTINGS = 'settings';

/** The fleet as its rows stood at a version; without one, as they stand now. */
export async function readFleet(tx: Tx, fleet: string, version?: number): Promise<Fleet> {
  const rows = await tx.rows<{ tbl: string; id: string; row: AnyRow }>(
    version === undefined
      ? 'select tbl, id, row from entity where fleet = $1 and to_version is null'
      : 'select tbl, id, row from entity where fleet = $1 and from_version <= $2 and (to_version is null or to_version > $2)',
    version === undefined ? [fleet] : [fleet, version],
  );
  const settings = rows.find((r) => r.tbl === SETTINGS)?.row as unknown as Settings | undefined;
  if (!settings) throw new Error(`fleet ${fleet} has no settings`);
  const tables = new Map<string, Map<string, AnyRow>>(TABLE_NAMES.map((t) => [t, new Map<string, AnyRow>()]));
  // A field that came with a newer version has its starting value in rows that were written before.
  const starts = new Map(
    TABLE_NAMES.map((t) => [t as string, Object.fromEntries(fieldsOf(t).map((f) => [f.name, f.start]))]),
  );
  for (const { tbl, id, row } of rows) tables.get(tbl)?.set(id, Object.freeze({ ...starts.get(tbl), ...row }));
  return { ...emptyFleet(settings), ...Object.fromEntries(tables) } as Fleet;
}

/** Writes what `edits` changed: one row for each record, whatever the size of the fleet. `edits` are smallest, as from `editsBetween`. */
export async function writeRows(
  tx: Tx,
  fleet: string,
  version: number,
  edits: readonly Edit[],
  after: Fleet,
): Promise<void> {
  const closed: [string, string][] = [];
  const opened: [string, string, unknown][] = [];
  for (const edit of edits) {
    if (edit.op === 'settings') {
      closed.push([SETTINGS, SETTINGS]);
      opened.push([SETTINGS, SETTINGS, after.settings]);
      continue;
    }
    const id = edit.op === 'put' ? String(edit.row.id) : edit.id;
    if (edit.op !== 'put') closed.push([edit.table, id]);
    if (edit.op !== 'remove') opened.push([edit.table, id, rowsOf(after, edit.table as TableName).get(id)]);
  }
  if (closed.length > 0)
    await tx.rows(
      `update entity e set to_version = $2 from unnest($3::text[], $4::text[]) as k (tbl, id)
       where e.fleet = $1 and e.tbl = k.tbl and e.id = k.id and e.to_version is null`,
      [fleet, version, closed.map((c) => c[0]), closed.map((c) => c[1])],
    );
  if (opened.length > 0)
    await tx.rows(
      `insert into entity (fleet, tbl, id, from_version, row)
       select $1, k.tbl, k.id, $2, k.row::jsonb from unnest($3::text[], $4::text[], $5::text[]) as k (tbl, id, row)`,
      [fleet, version, opened.map((o) => o[0]), opened.map((o) => o[1]), opened.map((o) => JSON.stringify(o[2]))],
    );
}

export const writeSettings = (tx: Tx, fleet: string, settings: Settings): Promise<unknown> =>
  tx.rows('insert into entity (fleet, tbl, id, from_version, row) values ($1, $2, $2, 0, $3)', [
    fleet,
    SETTINGS,
    JSON.stringify(settings),
  ]);
