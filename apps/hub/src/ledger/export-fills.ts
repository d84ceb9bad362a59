import { type Fleet, unitOf } from '@fillwright/core/fleet';
import { END_REASONS } from '@fillwright/core/island';
import { formatDate, formatDecimal, formatMinute, formatVolume, localMoment } from '@fillwright/core/units';
import type { Fill } from '@fillwright/wire';
import { stringify } from 'csv-stringify/sync';
import writeWorkbook, { type CellObject } from 'write-excel-file/node';
import { zoneOrUtc } from './zones.ts';

/** A column of the ledger as people take it away: its heading, and the text of a fill in it. */
interface Column {
  readonly heading: string;
  readonly text: (fill: Fill) => string;
  readonly numeric?: true;
}

/** Names are those of the draft where it still has them; times are by the clock of the site's wall, with UTC beside. */
function columnsOf(fleet: Fleet): readonly Column[] {
  const unit = unitOf(fleet.settings);
  const { currency } = fleet.settings;
  const local = (fill: Fill, at: number | null): string => {
    if (at === null) return '';
    const { day, minute } = localMoment(zoneOrUtc(fleet.sites.get(fill.site)?.zone), at);
    return `${formatDate(day)} ${formatMinute(minute)}`;
  };
  const volume = (ul: number) => formatVolume(ul, unit, 3);
  const money = (amount: number | null) => (amount === null ? '' : formatDecimal(amount, 4, 2));
  return [
    { heading: 'Fill', text: (f) => f.id },
    { heading: 'Site', text: (f) => fleet.sites.get(f.site)?.name ?? f.site },
    { heading: 'Begun', text: (f) => local(f, f.startedAt) },
    { heading: 'Ended', text: (f) => local(f, f.endedAt) },
    { heading: 'Begun (UTC)', text: (f) => new Date(f.startedAt).toISOString() },
    { heading: 'Hose', text: (f) => String(f.hoseNumber), numeric: true },
    { heading: 'Product', text: (f) => fleet.products.get(f.product)?.name ?? f.product },
    { heading: 'Driver', text: (f) => f.driverName },
    { heading: 'Vehicle', text: (f) => f.vehicleName },
    {
      heading: 'Cost centre',
      text: (f) => (f.costCentre === null ? '' : (fleet.costCentres.get(f.costCentre)?.name ?? f.costCentre)),
    },
    { heading: `Volume (${unit})`, text: (f) => volume(f.volume), numeric: true },
    { heading: `Limit (${unit})`, text: (f) => volume(f.limit), numeric: true },
    { heading: `Price (${currency} per ${unit})`, text: (f) => money(f.price), numeric: true },
    { heading: `Amount (${currency})`, text: (f) => money(f.amount), numeric: true },
    { heading: 'No sale', text: (f) => (f.proving === null ? '' : 'proving') },
    { heading: 'State', text: (f) => f.state },
    {
      heading: 'Ended because',
      text: (f) => END_REASONS[f.stopReason as keyof typeof END_REASONS] ?? f.stopReason ?? '',
    },
    { heading: 'Release', text: (f) => String(f.revision), numeric: true },
  ];
}

/**
 * Text that a spreadsheet would take for a formula gets an apostrophe before it, which shows it as text
 * (OWASP, "CSV Injection"). Numbers of ours never begin so, but for a minus sign before digits.
 */
export const asText = (text: string): string => (/^[=+\-@\t\r]/.test(text) ? `'${text}` : text);

export function fillsCsv(fleet: Fleet, fills: readonly Fill[]): string {
  const columns = columnsOf(fleet);
  return stringify(
    [
      columns.map((c) => c.heading),
      ...fills.map((f) => columns.map((c) => (c.numeric ? c.text(f) : asText(c.text(f))))),
    ],
    { bom: true, record_delimiter: 'windows' },
  );
}

export async function fillsBook(fleet: Fleet, fills: readonly Fill[]): Promise<Uint8Array> {
  const columns = columnsOf(fleet);
  const head: CellObject[] = columns.map((c) => ({ value: c.heading, type: String, fontWeight: 'bold' }));
  const rows = fills.map((fill) =>
    columns.map((c): CellObject | null => {
      const text = c.text(fill);
      if (text === '') return null;
      return c.numeric ? { value: Number(text), type: Number } : { value: text, type: String };
    }),
  );
  return writeWorkbook([
    {
      sheet: 'Fills',
      data: [head, ...rows],
      columns: columns.map((c) => ({ width: Math.max(12, c.heading.length + 2) })),
      stickyRowsCount: 1,
    },
  ]).toBuffer();
}
