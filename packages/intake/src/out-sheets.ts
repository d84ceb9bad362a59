import { type AnyRow, type Fleet, fieldsOf, rowsOf, TABLE_NAMES, TABLES } from '@fillwright/core/fleet';
import { type CellStyle, cellText, headingOf, textCell } from './cells.ts';
import { SETTINGS } from './headings.ts';
import { SETTINGS_COLUMNS } from './settings-sheet.ts';

/** A fleet as sheets of text that `toFleet` reads back to the same fleet: settings, then a sheet for each table, rows by id. */

export interface OutCell {
  readonly text: string;
  /** The text is a plain number, which a workbook may hold as one. */
  readonly numeric: boolean;
}

export interface OutSheet {
  readonly name: string;
  readonly headings: readonly string[];
  readonly rows: readonly (readonly OutCell[])[];
}

const NUMERIC = new Set(['whole', 'milli', 'volume', 'length', 'flow', 'seconds', 'minutes', 'percent', 'money']);
const byId = (a: AnyRow, b: AnyRow) => (a.id < b.id ? -1 : 1);

export function outSheets(fleet: Fleet, style: CellStyle): OutSheet[] {
  const settings: OutSheet = {
    name: SETTINGS,
    headings: SETTINGS_COLUMNS.map((c) => c.label),
    rows: [SETTINGS_COLUMNS.map((c) => ({ text: textCell(fleet.settings[c.name], style), numeric: false }))],
  };
  const tables = TABLE_NAMES.map((table): OutSheet => {
    const fields = fieldsOf(table);
    return {
      name: TABLES[table].many,
      headings: fields.map((field) => headingOf(field, fleet)),
      rows: [...rowsOf(fleet, table).values()].sort(byId).map((row) =>
        fields.map((field) => {
          const text = cellText(field, row[field.name], fleet, style);
          return { text, numeric: NUMERIC.has(field.kind) && /^\d+(\.\d+)?$/.test(text) };
        }),
      ),
    };
  });
  return [settings, ...tables];
}
