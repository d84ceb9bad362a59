import type { Fleet } from '@fillwright/core/fleet';
import { outSheets } from './out-sheets.ts';

export interface NamedText {
  readonly name: string;
  readonly text: string;
}

const quoted = (cell: string): string => (/[",\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell);
const line = (cells: readonly string[]): string => `${cells.map(quoted).join(',')}\r\n`;

/** The fleet as comma-separated files (RFC 4180), one a table, to be written as UTF-8. `readIntakeFiles` and `toFleet` read them back. */
export const toCsvFiles = (fleet: Fleet): NamedText[] =>
  outSheets(fleet, { untyped: true }).map((sheet) => ({
    name: `${sheet.name.replaceAll(' ', '-')}.csv`,
    text: line(sheet.headings) + sheet.rows.map((row) => line(row.map((cell) => cell.text))).join(''),
  }));
