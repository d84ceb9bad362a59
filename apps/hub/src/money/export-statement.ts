import {
  centText,
  fuelByJurisdiction,
  fuelColumns,
  groupsOf,
  type Statement,
  statementColumns,
  wholeSums,
} from '@fillwright/core/accounts';
import { stringify } from 'csv-stringify/sync';
import writeWorkbook, { type CellObject } from 'write-excel-file/node';
import { asText } from '../ledger/export-fills.ts';

/** Lines, then corrections as rows of their own, column by column as text; what is numeric is a plain decimal. */
function rowsOf(s: Statement): { headings: string[]; numeric: boolean[]; rows: string[][]; sums: string[] } {
  const columns = statementColumns(s);
  const whole = wholeSums(s);
  const blank = columns.map(() => '');
  const at = (heading: string) => columns.findIndex((c) => c.heading === heading);
  const correction = (c: Statement['corrections'][number]) => {
    const cells = [...blank];
    cells[at('Cost centre')] = c.costCentre;
    cells[at('Date')] = c.date;
    cells[at('Note')] = `correction by ${c.by}: ${c.reason}`;
    return [...cells, centText(c.amount), centText(c.amount)];
  };
  return {
    headings: [...columns.map((c) => c.heading), `Correction (${s.currency})`, `Due (${s.currency})`],
    numeric: [...columns.map((c) => c.numeric === true), true, true],
    rows: [
      ...s.lines.map((l) => [...columns.map((c) => c.text(l)), '', centText(l.gross)]),
      ...s.corrections.map(correction),
    ],
    sums: [...columns.map((c) => c.sum?.(whole) ?? ''), centText(whole.corrections), centText(whole.due)],
  };
}

/** Fuel by jurisdiction and product, column by column as text. */
function fuelRows(s: Statement): { headings: string[]; numeric: boolean[]; rows: string[][]; sums: string[] } {
  const columns = fuelColumns(s);
  const fuel = fuelByJurisdiction(s);
  return {
    headings: columns.map((c) => c.heading),
    numeric: columns.map((c) => c.numeric === true),
    rows: fuel.map((row) => columns.map((c) => c.text(row))),
    sums: columns.map((c) => c.sum?.(fuel) ?? ''),
  };
}

/** No row of sums: the columns add up to those of the other forms. */
function csvOf({ headings, numeric, rows }: ReturnType<typeof rowsOf>): string {
  const safe = (cells: readonly string[]) => cells.map((text, i) => (numeric[i] ? text : asText(text)));
  return stringify([safe(headings), ...rows.map(safe)], { bom: true, record_delimiter: 'windows' });
}

/** One row a line and a correction. */
export const statementCsv = (s: Statement): string => csvOf(rowsOf(s));

/** One row a product of a jurisdiction, and one for what is taken back of an earlier period. */
export const fuelCsv = (s: Statement): string => csvOf(fuelRows(s));

export async function statementBook(s: Statement): Promise<Uint8Array> {
  const cells = (row: readonly string[], isNumber: readonly boolean[], bold = false): (CellObject | null)[] =>
    row.map((text, i) => {
      if (text === '') return null;
      const weight = bold ? { fontWeight: 'bold' as const } : {};
      return isNumber[i] ? { value: Number(text), type: Number, ...weight } : { value: text, type: String, ...weight };
    });
  const words = (headings: readonly string[]) => headings.map(() => false);
  const centres = groupsOf(s, 'costCentre');
  const money = (name: string) => `${name} (${s.currency})`;
  const centreHead = ['Cost centre', 'Fills', money('Gross'), money('Corrections'), money('Due')];
  const centreRows = centres.map(({ name, sums: t }) => [
    name,
    String(t.fills),
    centText(t.gross),
    centText(t.corrections),
    centText(t.due),
  ]);
  const centreKinds = [false, true, true, true, true];
  const sheet = (name: string, { headings, numeric, rows, sums }: ReturnType<typeof rowsOf>) => ({
    sheet: name,
    data: [
      cells(headings, words(headings), true),
      ...rows.map((r) => cells(r, numeric)),
      cells(['Sum', ...sums.slice(1)], numeric, true),
    ],
    columns: headings.map((h) => ({ width: Math.max(12, h.length + 2) })),
    stickyRowsCount: 1,
  });
  return writeWorkbook([
    sheet('Lines', rowsOf(s)),
    {
      sheet: 'Cost centres',
      data: [cells(centreHead, words(centreHead), true), ...centreRows.map((r) => cells(r, centreKinds))],
      columns: centreHead.map((h) => ({ width: Math.max(16, h.length + 2) })),
      stickyRowsCount: 1,
    },
    sheet('Fuel by jurisdiction', fuelRows(s)),
  ]).toBuffer();
}
