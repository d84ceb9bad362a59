import type { Layout } from '@fillwright/core/fleet';
import { expect, test } from 'vitest';
import {
  addCell,
  addRow,
  cellOf,
  dropCell,
  dropRow,
  listOf,
  moveRow,
  setCell,
  shownBy,
  usualOf,
} from './layout-edit.ts';

const languages = ['es', 'en'] as const;
const plan = {
  id: 't',
  name: 'T',
  columns: 20,
  rows: 4,
  paper: 40,
  siteName: 'Yard',
  siteAddress: '',
  languages,
  layouts: { idle: null, flowing: null, filled: null, receipt: null },
  idle: ['Hola'],
  receiptHead: ['Yard', ' '],
  receiptFoot: [],
  receiptDays: 3,
  answerS: 15,
  refusedS: 15,
};

test('begins with the usual layout, its words in every language of the terminal', () => {
  expect(usualOf('idle', plan)).toEqual([[{ words: { es: 'Hola', en: 'Hola' }, align: 'centre' }]]);
  const receipt = usualOf('receipt', plan);
  expect(receipt.slice(0, 3)).toEqual([
    [{ words: { es: 'Yard', en: 'Yard' }, align: 'centre' }],
    [],
    [
      { label: 'time', align: 'left' },
      { field: 'time', align: 'right' },
    ],
  ]);
  expect(usualOf('flowing', { ...plan, rows: 1 })).toHaveLength(1);
});

test('changes cells and rows, one at a time, and leaves the rest', () => {
  const a = cellOf('field hose', 'left', languages);
  const b = cellOf('label quantity', 'right', languages);
  const words = cellOf('words', 'centre', languages);
  expect([a, b, words].map(shownBy)).toEqual(['field hose', 'label quantity', 'words']);
  const two: Layout = addRow(addRow([], [a]), []);
  expect(addCell(two, 1, b)).toEqual([[a], [b]]);
  expect(setCell(two, 0, 0, words)).toEqual([[words], []]);
  expect(dropCell(two, 0, 0)).toEqual([[], []]);
  expect(dropRow(two, 0)).toEqual([[]]);
  expect(moveRow(two, 0, 1)).toEqual([[], [a]]);
  expect(moveRow(two, 0, -1)).toBe(two);
});

test('offers own words, values and names of the fields that the layout may show', () => {
  const offered = listOf('flowing').flatMap((g) => g.of.map(([value]) => value));
  expect(offered).toContain('field limit');
  expect(offered).not.toContain('field driver');
  expect(offered).not.toContain('label says');
});
