import {
  centText,
  dyedPenalty,
  fuelByJurisdiction,
  fuelColumns,
  type GroupBy,
  groupsOf,
  milliText,
  type Statement,
  type StatementColumn,
  type StatementLine,
  type Sums,
  statementColumns,
  wholeSums,
} from '@fillwright/core/accounts';
import type { Cell, Column, Paper, Part, Table } from './paper.ts';

/** Whether the statement is one that was kept, and when it speaks. */
export interface AccountMark {
  readonly state: 'closed' | 'next' | 'span';
  /** Of a closed period. */
  readonly number?: number;
  readonly digest?: string;
  readonly word?: string;
  readonly by?: string;
  /** Milliseconds UTC, and in words. */
  readonly at: number;
  readonly atWords: string;
}

/** Lines beyond so many are left to the workbook: paper of hundreds of pages is read by nobody. */
const MOST_LINES = 3000;

/** A statement of account on paper: sums by cost centre, every line, corrections, and sums by vehicle, driver and product. */
export function accountPaper(s: Statement, mark: AccountMark): Paper {
  return {
    title: 'Statement of account',
    subtitle: `${s.from} to ${s.to}`,
    fleet: s.fleet,
    asOf: mark.at,
    asOfText: mark.atWords,
    size: s.unit === 'gal' ? 'letter' : 'a4',
    landscape: true,
    ...(mark.state === 'closed' ? {} : { mark: 'Not closed: may still change' }),
    parts: [
      { kind: 'facts', rows: factsOf(s, mark) },
      sumsTable(s, 'costCentre', 'Cost centre'),
      {
        kind: 'paragraph',
        small: true,
        text: `Each line is rounded to 0.01 ${s.currency}, half away from zero; sums are sums of lines. A fill is charged at the price of its cost centre’s tier, else at what its receipt said. Taxes are as the fleet entered them. Decision support: not tax advice, and no certified record of trade.`,
      },
      ...lineParts(s),
      ...takenBackParts(s),
      ...correctionParts(s),
      ...fuelParts(s),
      ...dyedParts(s),
      { kind: 'heading', level: 1, text: 'The same fills, otherwise grouped' },
      sumsTable(s, 'product', 'Product'),
      sumsTable(s, 'vehicle', 'Vehicle'),
      sumsTable(s, 'driver', 'Driver'),
    ],
  };
}

function factsOf(s: Statement, mark: AccountMark): [string, string][] {
  const whole = wholeSums(s);
  const late = s.lines.filter((l) => l.late).length;
  const unpriced = s.lines.filter((l) => l.price === null && !l.back).length;
  return [
    ['Fills', String(whole.fills)],
    ['Due', `${centText(whole.due)} ${s.currency}`],
    ...(late > 0 ? [['Late', `${late} from days that were closed before they came`] as [string, string]] : []),
    ...(whole.takenBack > 0
      ? [['Taken back', `${whole.takenBack} of closed periods, no sale after all`] as [string, string]]
      : []),
    ...(unpriced > 0 ? [['Without a price', `${unpriced}: they count nothing`] as [string, string]] : []),
    ...(mark.state === 'closed'
      ? ([
          ['Closed', `as period ${mark.number} by ${mark.by}: ${mark.word}`],
          ['Digest', mark.digest ?? ''],
        ] as [string, string][])
      : []),
  ];
}

const NAMELESS = 'none named';

function sumsTable(s: Statement, by: GroupBy, title: string): Table {
  const centres = by === 'costCentre';
  const cells = (name: string, t: Sums): Cell[] => [
    name,
    String(t.fills),
    milliText(t.milli),
    centText(t.net),
    ...t.taxes.map(centText),
    centText(t.gross),
    ...(centres ? [centText(t.corrections), centText(t.due)] : []),
  ];
  const figures = [
    'Fills',
    `Volume (${s.unit})`,
    'Net',
    ...s.taxes,
    'Gross',
    ...(centres ? ['Corrections', 'Due'] : []),
  ];
  return {
    kind: 'table',
    caption: `By ${title.toLowerCase()} (${s.currency})`,
    columns: [{ title, width: 'wide' }, ...figures.map((f): Column => ({ title: f, align: 'right', width: 'fit' }))],
    rows: groupsOf(s, by).map(({ name, sums }) => cells(name || NAMELESS, sums)),
    total: cells('Sum', wholeSums(s)),
    none: 'Nothing was drawn.',
  };
}

/** Said in the heading above the lines, or too long for paper. */
const NOT_ON_PAPER = new Set(['Cost centre', 'Code', 'Jurisdiction', 'Fill']);

function lineParts(s: Statement): Part[] {
  if (s.lines.length === 0) return [];
  const heading: Part = { kind: 'heading', level: 1, text: 'Every fill' };
  if (s.lines.length > MOST_LINES)
    return [
      heading,
      {
        kind: 'paragraph',
        text: `${s.lines.length} fills: the workbook and the CSV have every one, and add up to these sums.`,
      },
    ];
  const columns = statementColumns(s).filter((c) => !NOT_ON_PAPER.has(c.heading));
  const byCentre = new Map<string, StatementLine[]>();
  for (const line of s.lines) {
    const list = byCentre.get(line.costCentre);
    if (list) list.push(line);
    else byCentre.set(line.costCentre, [line]);
  }
  const sums = new Map(groupsOf(s, 'costCentre').map((g) => [g.name, g.sums]));
  return [
    heading,
    ...[...byCentre].map(([name, lines]): Part => {
      const code = lines[0]?.code;
      const total = sums.get(name) as Sums;
      return {
        kind: 'table',
        caption: `${name || NAMELESS}${code ? ` (${code})` : ''}`,
        columns: columns.map(columnOf(s)),
        rows: lines.map((line) => columns.map((c) => c.text(line))),
        total: columns.map((c, i) => c.sum?.(total) ?? (i === 0 ? 'Sum' : '')),
      };
    }),
  ];
}

/** Currency and unit are said above; on paper the headings stay short. */
const columnOf =
  (s: Statement) =>
  (c: StatementColumn): Column => ({
    title: c.heading.replace(` (${s.currency})`, '').replace(` (${s.currency} per ${s.unit})`, ''),
    ...(c.numeric ? { align: 'right', width: 'fit' } : { width: c.heading === 'Date' ? 'fit' : 'wide' }),
  });

function takenBackParts(s: Statement): Part[] {
  const rows = s.lines.flatMap((l) =>
    l.back ? [[l.fill, l.date, `${l.back.from} to ${l.back.to}`, l.back.reason, l.back.by, centText(l.gross)]] : [],
  );
  if (rows.length === 0) return [];
  return [
    { kind: 'heading', level: 1, text: 'Taken back' },
    {
      kind: 'paragraph',
      text: 'Fills that a closed period charged and that turned out to be no sale. The period stays as it was; each stands above with the opposite sign.',
    },
    {
      kind: 'table',
      columns: [
        { title: 'Fill', width: 'wide' },
        { title: 'Date', width: 'fit' },
        { title: 'Charged in', width: 'fit' },
        { title: 'Reason', width: 'wide' },
        { title: 'By', width: 'wide' },
        { title: `Gross (${s.currency})`, align: 'right', width: 'fit' },
      ],
      rows,
    },
  ];
}

function fuelParts(s: Statement): Part[] {
  const fuel = fuelByJurisdiction(s);
  if (fuel.length === 0) return [];
  const columns = fuelColumns(s);
  return [
    { kind: 'heading', level: 1, text: 'Fuel by jurisdiction' },
    {
      kind: 'table',
      columns: columns.map(
        (c): Column => ({
          title: c.heading,
          ...(c.numeric ? { align: 'right', width: 'fit' } : { width: 'wide' }),
        }),
      ),
      rows: fuel.map((row) => columns.map((c) => c.text(row) || NAMELESS)),
      total: columns.map((c, i) => c.sum?.(fuel) ?? (i === 0 ? 'Sum' : '')),
    },
    {
      kind: 'paragraph',
      small: true,
      text: 'For fuel tax returns, without diesel exhaust fluid; what was bought elsewhere is not in it.',
    },
  ];
}

function correctionParts(s: Statement): Part[] {
  if (s.corrections.length === 0) return [];
  return [
    { kind: 'heading', level: 1, text: 'Corrections' },
    {
      kind: 'table',
      columns: [
        { title: 'Date', width: 'fit' },
        { title: 'Cost centre', width: 'wide' },
        { title: 'Reason', width: 'wide' },
        { title: 'By', width: 'wide' },
        { title: `Amount (${s.currency})`, align: 'right', width: 'fit' },
      ],
      rows: s.corrections.map((c) => [c.date, c.costCentre, c.reason, c.by, centText(c.amount)]),
      total: ['Sum', '', '', '', centText(wholeSums(s).corrections)],
    },
  ];
}

function dyedParts(s: Statement): Part[] {
  const acts = s.lines.filter((l) => l.taxableUse);
  if (acts.length === 0) return [];
  const us = s.unit === 'gal';
  return [
    { kind: 'heading', level: 1, text: 'Dyed fuel in road vehicles' },
    {
      kind: 'paragraph',
      text: `A taxable use: the taxes above are charged, and the use itself may be penalised.${
        us
          ? ' In the United States the penalty for an act is the greater of $1,000 and $10 a gallon, the $1,000 growing with each earlier penalty (26 USC 6715(b)); shown is that of a first act. What is an act, the authority decides.'
          : ''
      }`,
    },
    {
      kind: 'table',
      columns: [
        { title: 'Date', width: 'fit' },
        { title: 'Site', width: 'wide' },
        { title: 'Vehicle', width: 'wide' },
        { title: 'Driver', width: 'wide' },
        { title: `Volume (${s.unit})`, align: 'right', width: 'fit' },
        ...(us ? [{ title: 'Penalty, first act ($)', align: 'right', width: 'fit' } as const] : []),
      ],
      rows: acts.map((l) => [
        l.date,
        l.site,
        l.vehicle,
        l.driver,
        milliText(l.milli),
        ...(us ? [centText(dyedPenalty(l.volume))] : []),
      ]),
    },
  ];
}
