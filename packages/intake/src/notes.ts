import { emptyFleet, fieldsOf, formatValue, formOf, type Settings, TABLE_NAMES, TABLES } from '@fillwright/core/fleet';
import { headingOf, textCell } from './cells.ts';
import { NOTES, SETTINGS } from './headings.ts';
import type { OutCell, OutSheet } from './out-sheets.ts';
import { SETTINGS_COLUMNS } from './settings-sheet.ts';

/** The sheet that explains every column: what it holds, what an empty cell gives a new row, and why. */

const GENERAL = [
  'An empty cell gives the value under "Starts as". A column that is left out leaves rows that stand as they are.',
  'A row without an id is known by what it is called; a new one is given an id.',
  'Another row is named by its id, or by its name where one row alone has it. Lists are separated by semicolons.',
  'A sheet called strapping may hold strapping tables, a row a dip: Tank, Dip (in), Volume (gal); mm, cm and l do as well.',
  'Text that begins with = + - or @, or with blanks, stands in quotation marks as in JSON: "=text". So no cell is run as a formula.',
];

const cells = (...texts: readonly string[]): OutCell[] =>
  texts.map((text) => ({ text: textCell(text), numeric: false }));

export function notesSheet(settings: Settings): OutSheet {
  const none = emptyFleet(settings);
  return {
    name: NOTES,
    headings: ['Sheet', 'Column', 'Holds', 'Starts as', 'Why', 'Remark'],
    rows: [
      ...GENERAL.map((text) => cells('', '', text, '', '', '')),
      ...SETTINGS_COLUMNS.map((c) => cells(SETTINGS, c.label, c.expected, '', '', '')),
      ...TABLE_NAMES.flatMap((table) =>
        fieldsOf(table).map((field) => {
          const needed = !field.schema.safeParse(field.start).success;
          const start = needed
            ? field.kind === 'id'
              ? 'made from the name'
              : 'must be given'
            : formatValue(field, field.start, none);
          return cells(
            TABLES[table].many,
            headingOf(field, none),
            formOf(field, none),
            start,
            field.reason ?? '',
            [field.help ?? '', field.ref ? `Names rows of ${TABLES[field.ref].many}.` : ''].filter(Boolean).join(' '),
          );
        }),
      ),
    ],
  };
}
