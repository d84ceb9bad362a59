import { formatDecimal } from '../units/index.ts';
import type { Statement, StatementLine, Sums } from './statement.ts';

/** A column of a statement's lines, the same in PDF, workbook and CSV: its heading, a line's text in it, and the sum below. */
export interface StatementColumn {
  readonly heading: string;
  readonly text: (line: StatementLine) => string;
  readonly sum?: (sums: Sums) => string;
  readonly numeric?: true;
}

export const USE_WORDS = { road: 'road', offRoad: 'off the road', exempt: 'exempt body' } as const;

/** Money as '12.34': statements hold whole cents. */
export const centText = (amount: number): string => formatDecimal(amount, 4, 2);
/** Thousandths as '12.345'. */
export const milliText = (milli: number): string => formatDecimal(milli, 3, 3);

export function statementColumns(s: Statement): readonly StatementColumn[] {
  return [
    { heading: 'Cost centre', text: (l) => l.costCentre },
    { heading: 'Code', text: (l) => l.code },
    { heading: 'Date', text: (l) => l.date },
    { heading: 'Site', text: (l) => l.site },
    { heading: 'Vehicle', text: (l) => l.vehicle },
    { heading: 'Driver', text: (l) => l.driver },
    { heading: 'Product', text: (l) => l.product },
    { heading: 'Use', text: (l) => USE_WORDS[l.use] },
    { heading: `Volume (${s.unit})`, text: (l) => milliText(l.milli), sum: (t) => milliText(t.milli), numeric: true },
    {
      heading: `Price (${s.currency} per ${s.unit})`,
      text: (l) => (l.price === null ? '' : formatDecimal(l.price, 4, 2)),
      numeric: true,
    },
    { heading: `Net (${s.currency})`, text: (l) => centText(l.net), sum: (t) => centText(t.net), numeric: true },
    ...s.taxes.map(
      (name, i): StatementColumn => ({
        heading: `${name} (${s.currency})`,
        text: (l) => centText(l.taxes[i] ?? 0),
        sum: (t) => centText(t.taxes[i] ?? 0),
        numeric: true,
      }),
    ),
    { heading: `Gross (${s.currency})`, text: (l) => centText(l.gross), sum: (t) => centText(t.gross), numeric: true },
    { heading: 'Note', text: noteOf },
    { heading: 'Fill', text: (l) => l.fill },
  ];
}

/** What a person should see of a line besides its figures. */
export function noteOf(line: StatementLine): string {
  const notes = [
    line.late ? 'late' : '',
    line.price === null ? 'no price' : '',
    line.taxableUse ? 'dyed fuel on the road' : '',
  ];
  return notes.filter(Boolean).join(', ');
}
