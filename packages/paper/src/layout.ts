import type { Alignment, Content, TableCell, TableLayout, TDocumentDefinitions } from 'pdfmake/interfaces';
import { USUAL_CAUTIONS } from './cautions.ts';
import type { Cell, Paper, Part, Table } from './paper.ts';

const INK = '#111111';
const QUIET = '#555555';
const RULE = '#999999';
const SHADE = '#eeeeee';
const MARGINS: [number, number, number, number] = [54, 62, 54, 54];
/** Points: US Letter 8.5 x 11 in, ISO 216 A4 210 x 297 mm. */
const WIDTH = { letter: [612, 792], a4: [595.28, 841.89] } as const;

/** Thin rules, a grey head, no colour: it prints and copies well. */
const PLAIN: TableLayout = {
  hLineWidth: (i, node) =>
    i === 0 || i === node.table.body.length ? 0.8 : i === (node.table.headerRows ?? 0) ? 0.8 : 0.3,
  vLineWidth: () => 0,
  hLineColor: () => RULE,
  paddingLeft: () => 4,
  paddingRight: () => 4,
  paddingTop: () => 2.5,
  paddingBottom: () => 2.5,
};

const FRAMED: TableLayout = {
  hLineWidth: () => 1,
  vLineWidth: () => 1,
  hLineColor: () => INK,
  vLineColor: () => INK,
  paddingLeft: () => 8,
  paddingRight: () => 8,
  paddingTop: () => 6,
  paddingBottom: () => 6,
};

/** How a paper looks, for pdfmake; no I/O. */
export function layoutOf(paper: Paper): TDocumentDefinitions {
  const [short, long] = WIDTH[paper.size];
  const width = (paper.landscape ? long : short) - MARGINS[0] - MARGINS[2];
  const running = (left: string, right: string): Content => ({
    columns: [
      { text: left, width: '*' },
      { text: right, width: 'auto', alignment: 'right' },
    ],
    fontSize: 8,
    color: QUIET,
    margin: [MARGINS[0], 0, MARGINS[2], 0],
  });
  return {
    info: {
      title: paper.subtitle === undefined ? paper.title : `${paper.title}: ${paper.subtitle}`,
      author: paper.fleet,
      subject: paper.asOfText,
      creator: 'Fillwright',
      producer: 'Fillwright',
      creationDate: new Date(paper.asOf),
      modDate: new Date(paper.asOf),
    },
    language: 'en',
    displayTitle: true,
    version: '1.7',
    pageSize: paper.size === 'letter' ? 'LETTER' : 'A4',
    pageOrientation: paper.landscape ? 'landscape' : 'portrait',
    pageMargins: MARGINS,
    defaultStyle: { font: 'Roboto', fontSize: 9.5, lineHeight: 1.15, color: INK },
    header: () => ({ stack: [running(paper.fleet, paper.mark ?? '')], margin: [0, 30, 0, 0] }),
    footer: (page, pages) => ({
      stack: [running(`${paper.title}, ${paper.asOfText}`, `Page ${page} of ${pages}`)],
      margin: [0, 14, 0, 0],
    }),
    content: [
      { text: paper.title, fontSize: 18, bold: true, margin: [0, 0, 0, 2] },
      ...(paper.subtitle === undefined ? [] : [{ text: paper.subtitle, fontSize: 12, color: QUIET }]),
      { text: paper.asOfText, color: QUIET, margin: [0, 2, 0, 10] },
      ...paper.parts.map((part) => contentOf(part, width)),
    ],
    // A heading never stands alone at the foot of a page.
    pageBreakBefore: (node, nodes) => node.headlineLevel !== undefined && nodes.getFollowingNodesOnPage().length === 0,
  };
}

function contentOf(part: Part, width: number): Content {
  switch (part.kind) {
    case 'heading':
      return {
        text: part.text,
        bold: true,
        fontSize: part.level === 1 ? 13 : 10.5,
        headlineLevel: part.level,
        margin: part.level === 1 ? [0, 12, 0, 4] : [0, 8, 0, 3],
      };
    case 'paragraph':
      return { text: part.text, margin: [0, 0, 0, 6], ...(part.small ? { fontSize: 8, color: QUIET } : {}) };
    case 'list':
      return { ul: [...part.items], margin: [0, 0, 0, 6] };
    case 'facts':
      return {
        layout: PLAIN,
        margin: [0, 0, 0, 8],
        table: {
          widths: ['auto', '*'],
          dontBreakRows: true,
          body: part.rows.map(([label, value]) => [{ text: label, color: QUIET }, value]),
        },
      };
    case 'table':
      return tableOf(part);
    case 'cautions':
      return {
        layout: FRAMED,
        margin: [0, 6, 0, 10],
        table: {
          widths: ['*'],
          dontBreakRows: true,
          body: [
            [
              {
                stack: [
                  { text: `Before ${part.before}`, bold: true, margin: [0, 0, 0, 3] },
                  { ul: [...USUAL_CAUTIONS, ...(part.more ?? [])] },
                ],
              },
            ],
          ],
        },
      };
    case 'signatures':
      return {
        unbreakable: true,
        margin: [0, 14, 0, 0],
        stack: [
          ...(part.above === undefined ? [] : [{ text: part.above, margin: [0, 0, 0, 8] } as Content]),
          ...part.roles.map((role) => signature(role)),
        ],
      };
    case 'picture':
      return {
        unbreakable: true,
        margin: [0, 2, 0, 8],
        stack: [
          { svg: part.svg, width },
          { text: part.words, fontSize: 8, color: QUIET, margin: [0, 3, 0, 0] },
        ],
      };
    case 'newPage':
      return { text: '', pageBreak: 'after' };
  }
}

const line = (width: number): Content => ({
  canvas: [{ type: 'line', x1: 0, y1: 14, x2: width, y2: 14, lineWidth: 0.6, lineColor: INK }],
});

const signature = (role: string): Content => ({
  columns: [
    { width: 210, stack: [line(210), { text: `${role}: name`, fontSize: 8, color: QUIET }] },
    { width: 150, stack: [line(150), { text: 'Signature', fontSize: 8, color: QUIET }] },
    { width: 90, stack: [line(90), { text: 'Date', fontSize: 8, color: QUIET }] },
  ],
  columnGap: 16,
  margin: [0, 10, 0, 6],
});

function tableOf(part: Table): Content {
  const caption: Content[] =
    part.caption === undefined ? [] : [{ text: part.caption, bold: true, headlineLevel: 2, margin: [0, 4, 0, 3] }];
  if (part.rows.length === 0 && part.none !== undefined) {
    return { stack: [...caption, { text: part.none, color: QUIET }], margin: [0, 0, 0, 8] };
  }
  const alignOf = (n: number): Alignment => {
    const align = part.columns[n]?.align;
    return align === 'centre' ? 'center' : (align ?? 'left');
  };
  const row = (cells: readonly Cell[], bold: boolean): TableCell[] =>
    part.columns.map((_, n) => cellOf(cells[n] ?? '', alignOf(n), bold));
  const { rowHeight } = part;
  const table: Content = {
    layout: PLAIN,
    margin: [0, 0, 0, 8],
    table: {
      headerRows: 1,
      keepWithHeaderRows: 1,
      dontBreakRows: true,
      widths: part.columns.map((c) => (typeof c.width === 'number' ? c.width : c.width === 'fit' ? 'auto' : '*')),
      ...(rowHeight === undefined ? {} : { heights: (n: number) => (n === 0 ? 'auto' : rowHeight) as number }),
      body: [
        part.columns.map((c, n) => ({ text: c.title, bold: true, fillColor: SHADE, alignment: alignOf(n) })),
        ...part.rows.map((cells) => row(cells, false)),
        ...(part.total === undefined ? [] : [row(part.total, true)]),
      ],
    },
  };
  return caption.length === 0 ? table : { stack: [...caption, table] };
}

function cellOf(cell: Cell, alignment: Alignment, bold: boolean): TableCell {
  if (typeof cell === 'string') return { text: cell, alignment, bold };
  if ('text' in cell) return { text: cell.text, alignment, bold: true };
  return cell.mark === 'box'
    ? { canvas: [{ type: 'rect', x: 0, y: 1, w: 9, h: 9, lineWidth: 0.8, lineColor: INK }], alignment }
    : { canvas: [{ type: 'line', x1: 0, y1: 11, x2: 60, y2: 11, lineWidth: 0.5, lineColor: RULE }], alignment };
}
