import { type Problem, problem } from '@fillwright/core/errors';
import { type Field, fieldsOf, TABLE_NAMES, TABLES, type TableName } from '@fillwright/core/fleet';
import type { RawSheet } from './read-intake.ts';
import { columnLetters } from './reading/gather.mjs';

/** Which sheet is which table and which column which field, by label or name, whatever the case, blanks and hyphens. */

export const squash = (text: string): string => text.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '');

export const SETTINGS = 'settings';
export const NOTES = 'notes';
export const STRAPPING = 'strapping';
type SheetRole = TableName | typeof SETTINGS | typeof NOTES | typeof STRAPPING;

const ROLES: ReadonlyMap<string, SheetRole> = new Map<string, SheetRole>([
  [SETTINGS, SETTINGS],
  [NOTES, NOTES],
  [STRAPPING, STRAPPING],
  ...TABLE_NAMES.flatMap((table): [string, SheetRole][] => [
    [squash(table), table],
    [squash(TABLES[table].many), table],
    [squash(TABLES[table].one), table],
  ]),
]);

/** Whether any of the sheets is called as one of ours. */
export const hasOurSheets = (sheets: readonly RawSheet[]): boolean => sheets.some((s) => ROLES.has(squash(s.name)));

/** The sheets by what they hold; unknown names are FW-103, a second sheet for the same is FW-108. */
export function sheetsByRole(sheets: readonly RawSheet[], problems: Problem[]): ReadonlyMap<SheetRole, RawSheet> {
  const found = new Map<SheetRole, RawSheet>();
  for (const sheet of sheets) {
    const role = ROLES.get(squash(sheet.name));
    if (role === undefined) {
      const expected = `one of: ${[SETTINGS, ...TABLE_NAMES.map((t) => TABLES[t].many), STRAPPING].join(', ')}`;
      problems.push(problem('FW-103', { at: { in: sheet.name }, found: sheet.name, expected }));
    } else if (found.has(role)) {
      problems.push(problem('FW-108', { at: { in: sheet.name }, found: `a second sheet for ${role}` }));
    } else found.set(role, sheet);
  }
  return found;
}

export interface Column {
  /** From 0, as in a row's cells. */
  readonly index: number;
  readonly heading: string;
  readonly field: Field;
  readonly unit?: string;
}

/** Headings such as 'Per fill (gal)' name their unit in the brackets at the end. */
export const unitOfHeading = (heading: string): { bare: string; unit?: string } => {
  const read = /^(.*?)\s*\(([^()]+)\)\s*$/.exec(heading);
  return read ? { bare: read[1] ?? '', unit: (read[2] ?? '').trim() } : { bare: heading };
};

const WITH_UNIT = new Set(['volume', 'length', 'flow', 'seconds', 'minutes', 'percent', 'money']);

/** The columns of a sheet whose first row holds the headings. Unknown ones are FW-104, repeated ones FW-108, and both are left out. */
export function columnsOf(table: TableName, sheet: RawSheet, problems: Problem[]): Column[] {
  const first = sheet.rows[0];
  if (!first) return [];
  const fields = fieldsOf(table);
  const taken = new Set<string>();
  const columns: Column[] = [];
  const at = (heading: string) => ({ in: sheet.name, row: first.number, field: heading });
  first.cells.forEach((cell, index) => {
    const heading = cell.trim();
    if (heading === '') return;
    const find = (text: string) =>
      fields.find((f) => squash(f.label) === squash(text) || squash(f.name) === squash(text));
    const { bare, unit } = unitOfHeading(heading);
    const field = find(heading) ?? find(bare);
    if (!field)
      problems.push(
        problem('FW-104', {
          at: at(heading),
          found: heading.slice(0, 80),
          expected: `one of: ${fields.map((f) => f.label).join(', ')}`,
        }),
      );
    else if (taken.has(field.name))
      problems.push(problem('FW-108', { at: at(heading), found: `${field.label} twice` }));
    else {
      taken.add(field.name);
      columns.push({ index, heading, field, ...(unit !== undefined && WITH_UNIT.has(field.kind) ? { unit } : {}) });
    }
  });
  noteUnheaded(sheet, problems);
  return columns;
}

// Cells below no heading would be lost without a word.
function noteUnheaded(sheet: RawSheet, problems: Problem[]): void {
  const first = sheet.rows[0];
  const noted = new Set<number>();
  for (const row of sheet.rows.slice(1))
    row.cells.forEach((cell, index) => {
      if (cell.trim() === '' || (first?.cells[index] ?? '').trim() !== '' || noted.has(index)) return;
      noted.add(index);
      problems.push(
        problem('FW-104', {
          at: { in: sheet.name, row: row.number, field: columnLetters(index + 1) },
          found: cell.slice(0, 80),
          expected: 'a heading above the cell',
        }),
      );
    });
}
