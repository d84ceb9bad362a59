import { emptyFleet, type Fleet, type Settings } from '@fillwright/core/fleet';
import writeWorkbook, { type CellObject, type Sheet } from 'write-excel-file/node';
import { noteLines } from './notes.ts';
import { type OutCell, type OutSheet, outSheets } from './out-sheets.ts';

/** In workbooks `_x0041_` stands for a character by its code (ECMA-376 part 1, 22.9.2.19); text that looks so is escaped by its own rule. */
const escaped = (text: string): string => text.replace(/_x(?=[0-9A-Fa-f]{4}_)/g, '_x005F_x');

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

/** The fleet as the bytes of an .xlsx workbook, with a sheet of notes on every column. `readIntake` and `toFleet` read it back. */
export const toWorkbook = (fleet: Fleet): Promise<Uint8Array> =>
  write([...outSheets(fleet, { untyped: false }), noteLines(fleet.settings)]);

/** An empty workbook to be filled in: a sheet a table with its headings, and the notes. */
export const template = (settings: Settings): Promise<Uint8Array> => toWorkbook(emptyFleet(settings));
