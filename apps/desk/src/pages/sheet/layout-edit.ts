import {
  LAYOUT_FIELDS,
  type LanguageId,
  type Layout,
  type LayoutAlign,
  type LayoutCell,
  type LayoutField,
  type LayoutName,
  type LayoutRow,
} from '@fillwright/core/fleet';
import { type TerminalPlan, usualFlow, usualIdle, usualReceipt } from '@fillwright/core/island';

/** Changes of a layout as it is drawn: each gives a new one. */

/** The usual layout as rows to change; its words stand in every language of the terminal. */
export function usualOf(name: LayoutName, terminal: TerminalPlan): Layout {
  const layout =
    name === 'receipt'
      ? usualReceipt(terminal)
      : name === 'idle'
        ? usualIdle(terminal)
        : usualFlow(terminal.rows, name === 'filled');
  const everywhere = (text: string | undefined) => Object.fromEntries(terminal.languages.map((l) => [l, text]));
  return layout.map((row) =>
    row.map((cell) => ('words' in cell ? { words: everywhere(cell.words.en), align: cell.align } : cell)),
  );
}

/** What a cell shows, as the value of the list that it is chosen from. */
export const shownBy = (cell: LayoutCell): string =>
  'field' in cell ? `field ${cell.field}` : 'label' in cell ? `label ${cell.label}` : 'words';

/** The list of `layout`: own words, then values, then the names of fields. */
export function listOf(
  name: LayoutName,
): { readonly title: string; readonly of: readonly (readonly [string, string])[] }[] {
  const fields = Object.entries(LAYOUT_FIELDS[name]);
  return [
    { title: 'Written here', of: [['words', 'Own words']] },
    { title: 'Value', of: fields.map(([id, words]) => [`field ${id}`, words]) },
    {
      title: 'Name beside it',
      of: fields.filter(([id]) => id !== 'says').map(([id, words]) => [`label ${id}`, `Name of: ${words}`]),
    },
  ];
}

/** A cell that shows what was chosen; words begin with a text that asks to be written over. */
export function cellOf(chosen: string, align: LayoutAlign, languages: readonly LanguageId[]): LayoutCell {
  const [kind, id] = chosen.split(' ');
  if (kind === 'field') return { field: id as LayoutField, align };
  if (kind === 'label') return { label: id as LayoutField, align };
  return { words: Object.fromEntries(languages.map((l) => [l, 'Text'])), align };
}

const replaced = <T>(list: readonly T[], at: number, ...by: T[]): T[] => [
  ...list.slice(0, at),
  ...by,
  ...list.slice(at + 1),
];
const inRow = (layout: Layout, row: number, change: (row: LayoutRow) => LayoutRow): Layout =>
  layout.map((r, i) => (i === row ? change(r) : r));

export const setCell = (layout: Layout, row: number, cell: number, to: LayoutCell): Layout =>
  inRow(layout, row, (r) => replaced(r, cell, to));
export const dropCell = (layout: Layout, row: number, cell: number): Layout =>
  inRow(layout, row, (r) => replaced(r, cell));
/** A second cell stands at the right, where figures belong. */
export const addCell = (layout: Layout, row: number, cell: LayoutCell): Layout =>
  inRow(layout, row, (r) => [...r, cell]);
export const addRow = (layout: Layout, row: LayoutRow): Layout => [...layout, row];
export const dropRow = (layout: Layout, row: number): Layout => replaced(layout, row);
/** One place up or down; at an end nothing moves. */
export function moveRow(layout: Layout, row: number, by: 1 | -1): Layout {
  const [one, other] = [layout[row], layout[row + by]];
  return one && other ? replaced(replaced(layout, row, other), row + by, one) : layout;
}
