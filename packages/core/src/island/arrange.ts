import type { Layout, LayoutCell, LayoutField, LayoutRow, Words } from '../fleet/index.ts';
import { type Cell, type Line, layOut, lengthOf, wrap } from './layout.ts';
import type { Language } from './types.ts';
import { FIELD_WORDS } from './words.ts';

/** What each field of a layout shows now; null or absent where there is nothing, as a price where none is in force. */
export type FieldValues = { readonly [F in LayoutField]?: string | null };

/** Own words in a language; where they are not written in it, in the first that they are. */
export const ownWords = (words: Words, language: Language): string =>
  words[language] ?? words.en ?? words.es ?? words.fr ?? '';

const shows = (cell: LayoutCell, values: FieldValues, language: Language): string =>
  'field' in cell
    ? (values[cell.field] ?? '')
    : 'label' in cell
      ? FIELD_WORDS[cell.label][language]
      : ownWords(cell.words, language);

/** A row whose fields have no value is no row: a name without its price says nothing. */
const isEmpty = (row: LayoutRow, values: FieldValues): boolean => {
  const fields = row.flatMap((cell) => ('field' in cell ? [cell.field] : []));
  return fields.length > 0 && fields.every((f) => (values[f] ?? '') === '');
};

const cellsOf = (row: LayoutRow, values: FieldValues, language: Language): Cell[] =>
  row.map((cell) => ({ text: shows(cell, values, language), align: cell.align }));

/** A layout's rows on a display: each keeps its place, one without values stays dark. */
export const onDisplay = (layout: Layout, values: FieldValues, language: Language): Line[] =>
  layout.map((row) => (row.length === 0 || isEmpty(row, values) ? '' : cellsOf(row, values, language)));

/** A row of paper that was too wide, and what became of it. */
export interface Broken {
  readonly row: number;
  readonly text: string;
  readonly lines: number;
}

/** A layout's rows on paper: one without values is left out; one that is too wide is broken, so that nothing is lost. */
export function onPaper(
  layout: Layout,
  values: FieldValues,
  language: Language,
  width: number,
): { readonly lines: Line[]; readonly broken: Broken[] } {
  const lines: Line[] = [];
  const broken: Broken[] = [];
  layout.forEach((row, n) => {
    if (row.length === 0) lines.push('');
    else if (!isEmpty(row, values)) {
      const cells = cellsOf(row, values, language);
      if (layOut([cells], width).overflow.length === 0) {
        lines.push(cells);
        return;
      }
      const parts = cells.flatMap(({ text, align = 'left' }) =>
        wrap(text, width).map((part) => ({ text: part, align })),
      );
      lines.push(...parts);
      const text = cells.map((c) => c.text).join(' ');
      if (parts.length > 1 || lengthOf(text) > width) broken.push({ row: n, text, lines: parts.length });
    }
  });
  return { lines, broken };
}
