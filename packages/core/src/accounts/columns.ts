import { formatDecimal } from '../units/index.ts';
import type { JurisdictionFuel } from './jurisdiction.ts';
import type { Statement, Sums } from './statement.ts';
import type { StatementLine } from './statement-line.ts';

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
    { heading: 'Jurisdiction', text: (l) => l.jurisdiction },
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

/** A column of the fuel by jurisdiction, the same in PDF, workbook and CSV; a sum is over the rows as they are shown. */
export interface FuelColumn {
  readonly heading: string;
  readonly text: (row: JurisdictionFuel) => string;
  readonly sum?: (rows: readonly JurisdictionFuel[]) => string;
  readonly numeric?: true;
}

export function fuelColumns(s: Pick<Statement, 'unit' | 'currency' | 'taxes'>): readonly FuelColumn[] {
  const figure = (heading: string, of: (row: JurisdictionFuel) => number, show: (n: number) => string): FuelColumn => ({
    heading,
    text: (row) => show(of(row)),
    sum: (rows) => show(rows.reduce((sum, row) => sum + of(row), 0)),
    numeric: true,
  });
  return [
    { heading: 'Jurisdiction', text: (r) => r.jurisdiction },
    { heading: 'Product', text: (r) => r.product },
    { heading: 'What', text: fuelWhat },
    figure(`Volume (${s.unit})`, (r) => r.milli, milliText),
    ...s.taxes.map((name, i) => figure(`${name} (${s.currency})`, (r) => r.taxes[i] ?? 0, centText)),
  ];
}

/** 'drawn', or of which days it is taken back. */
const fuelWhat = ({ back }: Pick<JurisdictionFuel, 'back'>): string =>
  back ? `taken back: charged in ${back.from} to ${back.to}` : 'drawn';

/** What a person should see of a line besides its figures. */
export function noteOf(line: StatementLine): string {
  const { back } = line;
  if (back) return `no sale, charged in ${back.from} to ${back.to}, taken back by ${back.by}: ${back.reason}`;
  const notes = [
    line.late ? 'late' : '',
    line.price === null ? 'no price' : '',
    line.taxableUse ? 'dyed fuel on the road' : '',
  ];
  return notes.filter(Boolean).join(', ');
}
