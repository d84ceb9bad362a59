import { type Problem, problem } from '@fillwright/core/errors';
import {
  type AnyRow,
  canonical,
  checkRow,
  type Edit,
  type Field,
  type Fleet,
  fieldOf,
  newRow,
  rowsOf,
  TABLE_NAMES,
  type TableName,
} from '@fillwright/core/fleet';
import { atOnce, byRows, type Progress } from '../by-rows.ts';
import { cellValue } from '../cells.ts';
import { deriveId } from '../derive-id.ts';
import type { RawRow, RawSheet } from '../read-intake.ts';
import type { Imported } from '../to-fleet.ts';
import { ROSTER_TABLES, type RosterMapping, type RosterTable } from './mapping.ts';
import { type RosterIndex, rosterIndex, SEVERAL } from './match.ts';

/**
 * Makes drivers, vehicles and credentials of a customer's own roster. One row may make one of each, linked: the credential names the
 * driver and the vehicle of its row, as the mapping says. Rows that stand already are known by number, plate, VIN or card number, so that
 * importing the next roster changes rather than doubles. An empty cell leaves what stands; a row with a bad cell makes no edit.
 */
export const applyMapping = (sheet: RawSheet, mapping: RosterMapping, base: Fleet): Imported =>
  atOnce(applyMappingByRows(sheet, mapping, base));

/** The same, saying how far it is. */
export function* applyMappingByRows(
  sheet: RawSheet,
  mapping: RosterMapping,
  base: Fleet,
): Generator<Progress, Imported> {
  const problems: Problem[] = [];
  const [first, ...rows] = sheet.rows;
  if (!first) return { edits: [], problems: [problem('FW-105', { at: { in: sheet.name } })], counts: noCounts() };
  const sources = sourcesOf(first, mapping, sheet, problems);
  const index = rosterIndex(base);
  const made = new Map<RosterTable, Map<string, { row: AnyRow; from: number }>>(
    ROSTER_TABLES.map((t) => [t, new Map()]),
  );
  yield* byRows(rows, (raw) => {
    const found = readRow(raw, sources, sheet, base, problems);
    if (!found) return;
    const ids: Partial<Record<RosterTable, string>> = {};
    for (const table of ROSTER_TABLES) {
      const fields = found.get(table);
      if (!fields) continue;
      if (table === 'credentials') link(fields, ids, mapping.cardOf);
      const id = place(table, fields, raw, sheet, base, index, made, problems);
      if (id === undefined) break;
      ids[table] = id;
    }
  });
  const edits: Edit[] = [];
  const counts = noCounts();
  for (const table of ROSTER_TABLES)
    for (const [id, { row }] of made.get(table) ?? []) {
      const old = rowsOf(base, table).get(id);
      const changed = Object.entries(row).filter(([name, value]) => old && canonical(value) !== canonical(old[name]));
      counts[table][!old ? 'new' : changed.length > 0 ? 'changed' : 'same']++;
      if (!old) edits.push({ op: 'put', table, row });
      else if (changed.length > 0) edits.push({ op: 'set', table, id, fields: Object.fromEntries(changed) });
    }
  return { edits, problems, counts };
}

const noCounts = () =>
  Object.fromEntries(TABLE_NAMES.map((t) => [t, { new: 0, changed: 0, same: 0 }])) as {
    [T in TableName]: { new: number; changed: number; same: number };
  };

interface Source {
  readonly column: number;
  readonly heading: string;
  readonly table: RosterTable;
  readonly field: Field;
  readonly part: number;
}

/** Where each mapped field comes from, parts of a name in their order. A column that the file lacks is FW-105. */
function sourcesOf(first: RawRow, mapping: RosterMapping, sheet: RawSheet, problems: Problem[]): Source[] {
  const sources: Source[] = [];
  const used = new Set<number>();
  for (const { heading, to } of mapping.columns) {
    if (to.length === 0) continue;
    const column = first.cells.findIndex((cell, i) => cell.trim() === heading.trim() && !used.has(i));
    used.add(column);
    if (column === -1) {
      problems.push(
        problem('FW-105', { at: { in: sheet.name, row: first.number, field: heading }, expected: heading }),
      );
      continue;
    }
    for (const { table, field: name, part } of to) {
      const field = fieldOf(table, name);
      if (field) sources.push({ column, heading, table, field, part: part ?? 0 });
    }
  }
  return sources.sort((a, b) => a.part - b.part);
}

type Found = Map<RosterTable, Map<string, unknown>>;

/** The fields that a row gives, by table; undefined when one of its cells is bad. */
function readRow(
  raw: RawRow,
  sources: readonly Source[],
  sheet: RawSheet,
  base: Fleet,
  problems: Problem[],
): Found | undefined {
  const texts = new Map<string, { source: Source; text: string }>();
  for (const source of sources) {
    const text = (raw.cells[source.column] ?? '').trim();
    if (text === '') continue;
    const key = `${source.table}.${source.field.name}`;
    const before = texts.get(key);
    texts.set(key, { source, text: before ? `${before.text} ${text}` : text });
  }
  const found: Found = new Map();
  let bad = false;
  for (const { source, text } of texts.values()) {
    const value = cellValue(source.field, wordOf(source, text), base);
    if (value.ok) {
      const fields = found.get(source.table) ?? new Map<string, unknown>();
      fields.set(source.field.name, value.value);
      found.set(source.table, fields);
    } else {
      bad = true;
      problems.push({ ...value.error, at: { in: sheet.name, row: raw.number, field: source.heading } });
    }
  }
  return bad ? undefined : found;
}

const ENDED = /^(inactive|left|terminated|retired|disabled|closed)$/i;

/** Rosters say 'active' or 'left' where the field is yes or no, and print card numbers in groups. */
function wordOf(source: Source, text: string): string {
  if (source.field.kind === 'flag')
    return /^(active|a|current|enabled)$/i.test(text) ? 'yes' : ENDED.test(text) ? 'no' : text;
  return source.table === 'credentials' && source.field.name === 'number' && /^[\d\s-]+$/.test(text)
    ? text.replace(/[\s-]/g, '')
    : text;
}

function link(
  fields: Map<string, unknown>,
  ids: Partial<Record<RosterTable, string>>,
  cardOf: RosterMapping['cardOf'],
): void {
  if (cardOf !== 'vehicle' && ids.drivers !== undefined) fields.set('driver', ids.drivers);
  if (cardOf !== 'driver' && ids.vehicles !== undefined) fields.set('vehicle', ids.vehicles);
}

/** What tells one row of a table from another; a row without any of these describes nothing. */
const TELLING: Readonly<Record<RosterTable, readonly string[]>> = {
  drivers: ['number', 'name'],
  vehicles: ['plate', 'vin', 'name'],
  credentials: ['number'],
};

/** Puts a row's part into `made`; the id, or undefined when it is not a whole row or another row of the sheet contradicts it. */
function place(
  table: RosterTable,
  fields: ReadonlyMap<string, unknown>,
  raw: RawRow,
  sheet: RawSheet,
  base: Fleet,
  index: RosterIndex,
  made: ReadonlyMap<RosterTable, Map<string, { row: AnyRow; from: number }>>,
  problems: Problem[],
): string | undefined {
  const rows = made.get(table) ?? new Map<string, { row: AnyRow; from: number }>();
  const given: Record<string, unknown> = Object.fromEntries(fields);
  const telling = TELLING[table].map((name) => given[name]).find((v) => v !== undefined && v !== '');
  const at = { in: sheet.name, row: raw.number };
  if (telling === undefined) {
    problems.push(problem('FW-105', { at, expected: `one of: ${TELLING[table].join(', ')}` }));
    return undefined;
  }
  const known = index.find(table, given);
  if (known === SEVERAL) {
    problems.push(
      problem('FW-108', { at, found: String(telling), cause: 'Several rows of the fleet could be meant.' }),
    );
    return undefined;
  }
  const standing = rowsOf(base, table);
  if (known === undefined && 'name' in newRow(table, { id: 'a' }) && given.name === undefined)
    given.name = String(telling);
  const id = known ?? deriveId(table, given, standing, { has: (id) => rows.has(id) || standing.has(id) });
  const before = rows.get(id);
  const row: AnyRow = { ...(before?.row ?? standing.get(id) ?? newRow(table, { id } as never)), ...given, id };
  const clash = before && Object.keys(given).find((name) => canonical(before.row[name]) !== canonical(row[name]));
  if (before && clash !== undefined) {
    problems.push(
      problem('FW-108', {
        at: { ...at, field: fieldOf(table, clash)?.label ?? clash },
        found: String(row[clash]),
        expected: `${String(before.row[clash])}, as in row ${before.from}`,
      }),
    );
    return undefined;
  }
  const wrong = checkRow(table, row);
  if (wrong.length > 0) {
    problems.push(...wrong.map((p) => ({ ...p, at: { ...at, ...(p.at?.field ? { field: p.at.field } : {}) } })));
    return undefined;
  }
  if (!before) rows.set(id, { row, from: raw.number });
  index.add(table, row);
  return id;
}
