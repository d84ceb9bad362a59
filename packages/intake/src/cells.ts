import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import {
  canonical,
  type Field,
  type Fleet,
  formatValue,
  formOf,
  lengthUnitOf,
  parseValue,
  rowsOf,
  unitOf,
} from '@fillwright/core/fleet';

/**
 * A field's value as the text of one spreadsheet cell, and back. Most values stand as they are shown everywhere else. A value that a
 * spreadsheet or this reader could take for something else stands as a JSON literal: text as "=total" in its quotation marks, a list as
 * ["a","b"]. So a cell never begins with = + - or @ and is never run as a formula, blanks at the ends survive, and the id "none" is
 * told from the word none. An empty cell is the field's starting value.
 */

// A spreadsheet runs a cell that begins so; the wide forms too, in East Asian settings.
const RUNNABLE = /^[=+\-@\t\r＝＋－＠]/;
// Half a character has no place in a file; a mark at the very start would be taken for the encoding's.
const UNWRITABLE = /\p{Cs}|^\ufeff/u;
const LISTS = new Set(['texts', 'refs', 'dates', 'windows']);
const TEXTS = new Set(['id', 'text', 'zone', 'ref', 'texts', 'refs']);

const literal = (value: unknown): string => JSON.stringify(value);

/** Digits that a spreadsheet would rewrite when it opens a CSV: '0123', '1e5', 20 digits. */
const rewritten = (text: string): boolean => /^[\d.,]*\d[\d.,eE+-]*$/.test(text) && String(Number(text)) !== text;

export interface CellStyle {
  /** The cell has no type of its own, as in CSV: digits that are text are then put in quotation marks where they would change. */
  readonly untyped: boolean;
}

const TYPED: CellStyle = { untyped: false };

const risky = (shown: string, style: CellStyle): boolean =>
  RUNNABLE.test(shown) || UNWRITABLE.test(shown) || (style.untyped && rewritten(shown));

/** Plain text as a cell: itself, or in quotation marks where it would not come back as it was. */
export const textCell = (text: string, style: CellStyle = TYPED): string =>
  text === text.trim() && !text.startsWith('"') && !risky(text, style) ? text : literal(text);

/** The text of a cell that holds plain text. */
export function textOfCell(cell: string): string {
  const bare = cell.trim();
  if (!bare.startsWith('"')) return bare;
  try {
    const value: unknown = JSON.parse(bare);
    return typeof value === 'string' ? value : bare;
  } catch {
    return bare;
  }
}

/** A reference to a row that is not there must not find another by its name. */
const leadsNowhere = (field: Field, value: unknown, fleet: Fleet): boolean => {
  if (!field.ref) return false;
  const rows = rowsOf(fleet, field.ref);
  return (Array.isArray(value) ? value : [value]).some((id) => !rows.has(String(id)));
};

export function cellText(field: Field, value: unknown, fleet: Fleet, style: CellStyle = TYPED): string {
  if (value === '' && field.start === '') return '';
  const shown = formatValue(field, value, fleet, { unit: false });
  if (shown === '' && canonical(value) === canonical(field.start)) return '';
  if (value === null || !TEXTS.has(field.kind)) return shown;
  if (field.kind === 'text') return textCell(shown, style);
  if (risky(shown, style) || leadsNowhere(field, value, fleet)) return literal(value);
  const back = cellValue(field, shown, fleet);
  return back.ok && canonical(back.value) === canonical(value) ? shown : literal(value);
}

/** Reads a cell; problem FW-107 says what was expected. `headerUnit` is the unit that the column's heading names, if any. */
export function cellValue(field: Field, text: string, fleet: Fleet, headerUnit?: string): Result<unknown, Problem> {
  const bare = text.trim();
  if (bare === '')
    return field.schema.safeParse(field.start).success ? ok(copyOf(field.start)) : refuse(field, '', fleet);
  const written = literalOf(field, bare);
  if (written !== undefined) return field.schema.safeParse(written).success ? ok(written) : refuse(field, bare, fleet);
  return parseValue(
    field,
    headerUnit !== undefined && /^[\d.,\s]+$/.test(bare) ? `${bare} ${headerUnit}` : bare,
    fleet,
  );
}

/** Whether the cell names ids to the letter, so that none is looked up by name or missed when absent. */
export const isLiteral = (field: Field, text: string): boolean => literalOf(field, text.trim()) !== undefined;

function literalOf(field: Field, text: string): unknown {
  const list = LISTS.has(field.kind);
  if (!TEXTS.has(field.kind) && !list) return undefined;
  if (!(list ? text.startsWith('[') : text.startsWith('"'))) return undefined;
  try {
    const value: unknown = JSON.parse(text);
    return list === Array.isArray(value) ? value : undefined;
  } catch {
    return undefined;
  }
}

const refuse = (field: Field, text: string, fleet: Fleet) =>
  err(problem('FW-107', { found: text.slice(0, 80), expected: formOf(field, fleet) }));

const copyOf = (value: unknown): unknown => (Array.isArray(value) ? [...value] : value);

/** The unit that a column's heading names, such as 'gal' or 's'; undefined where values have none. */
function unitOfColumn(field: Field, fleet: Fleet): string | undefined {
  switch (field.kind) {
    case 'volume':
      return unitOf(fleet.settings);
    case 'length':
      return lengthUnitOf(fleet.settings);
    case 'flow':
      return `${unitOf(fleet.settings)}/min`;
    case 'seconds':
      return 's';
    case 'minutes':
      return 'min';
    case 'percent':
      return '%';
    case 'money':
      return fleet.settings.currency;
    default:
      return undefined;
  }
}

/** 'Per fill (gal)': a heading says the unit, so that a sheet is read right in a fleet that counts otherwise. */
export const headingOf = (field: Field, fleet: Fleet): string => {
  const unit = unitOfColumn(field, fleet);
  return unit === undefined ? field.label : `${field.label} (${unit})`;
};
