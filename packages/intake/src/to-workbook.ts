import { emptyFleet, type Fleet, type Settings } from '@fillwright/core/fleet';
import writeWorkbook, { type CellObject, type Sheet } from 'write-excel-file/node';
import { notesSheet } from './notes.ts';
import { type OutCell, type OutSheet, outSheets } from './out-sheets.ts';

const code = (unit: string): string => `_x${unit.charCodeAt(0).toString(16).toUpperCase().padStart(4, '0')}_`;

/**
 * In workbooks `_x0041_` stands for a character by its code (ECMA-376 part 1, 22.9.2.19). Text that looks so is escaped by the same
 * rule, and so is what the library would drop (characters that XML discourages) or look up wrongly (names such as 'constructor').
 */
function escaped(text: string): string {
  const safe = text
    .replace(/_x(?=[0-9A-Fa-f]{4}_)/g, '_x005F_x')
    .replace(/[\ufffd\p{Noncharacter_Code_Point}]/gu, (c) => c.split('').map(code).join(''));
  return safe in Object.prototype ? code(safe) + safe.slice(1) : safe;
}

const headingCell = (text: string): CellObject => ({ value: escaped(text), type: String, fontWeight: 'bold' });

function cellOf(cell: OutCell): CellObject | null {
  if (cell.text === '') return null;
  const number = Number(cell.text);
  // A double holds 15 digits for certain; longer numbers stay text.
  return cell.numeric && String(number) === cell.text && cell.text.length <= 15
    ? { value: number, type: Number }
    : { value: escaped(cell.text), type: String };
}

const widthOf = (sheet: OutSheet, column: number): number =>
  Math.min(
    40,
    Math.max(
      10,
      ...[sheet.headings, ...sheet.rows.slice(0, 50).map((row) => row.map((cell) => cell.text))].map(
        (row) => (row[column] ?? '').length + 2,
      ),
    ),
  );

const sheetOf = (sheet: OutSheet): Sheet<Buffer> => ({
  sheet: sheet.name,
  data: [sheet.headings.map(headingCell), ...sheet.rows.map((row) => row.map(cellOf))],
  columns: sheet.headings.map((_, i) => ({ width: widthOf(sheet, i) })),
  stickyRowsCount: 1,
});

const write = async (sheets: readonly OutSheet[]): Promise<Uint8Array> => writeWorkbook(sheets.map(sheetOf)).toBuffer();

/** The fleet as the bytes of an .xlsx workbook. `readIntake` and `toFleet` read it back to the same fleet. */
export const toWorkbook = (fleet: Fleet): Promise<Uint8Array> => write(outSheets(fleet, { untyped: false }));

/** An empty workbook to be filled in: a sheet a table with its headings, and notes on every column. */
export const template = (settings: Settings): Promise<Uint8Array> =>
  write([...outSheets(emptyFleet(settings), { untyped: false }), notesSheet(settings)]);
