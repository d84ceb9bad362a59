// @ts-check
import { Refusal, tooMuch } from './refusal.mjs';

/**
 * Collects sheets, rows and notes under the limits and hands them on in parcels, so that neither thread ever holds a file twice.
 * @typedef {import('./read-bytes.mjs').Limits} Limits
 * @typedef {import('./read-bytes.mjs').Parcel} Parcel
 * @typedef {import('./read-bytes.mjs').RawRow} RawRow
 */

const PARCEL_CELLS = 4000;
const MOST_NOTES = 200;

/** @param {number} column from 1 */
export function columnLetters(column) {
  let letters = '';
  for (let n = column; n > 0; n = Math.floor((n - 1) / 26))
    letters = String.fromCharCode(65 + ((n - 1) % 26)) + letters;
  return letters;
}

/** @param {Limits} limits @param {(parcel: Parcel) => void} emit */
export function gather(limits, emit) {
  const names = new Set();
  let sheet = '';
  /** @type {RawRow[]} */
  let rows = [];
  let pending = 0;
  const total = { rows: 0, cells: 0, characters: 0 };
  /** @type {Map<string, number>} */
  const noted = new Map();

  const flush = () => {
    if (rows.length > 0) emit({ kind: 'rows', rows });
    rows = [];
    pending = 0;
  };

  return {
    /** @param {string} name */
    sheet(name) {
      flush();
      if (names.size >= limits.sheets) throw tooMuch('sheets', limits.sheets);
      if (names.has(name.toLowerCase()))
        throw new Refusal('FW-108', { at: { in: name }, found: 'two sheets of one name' });
      names.add(name.toLowerCase());
      sheet = name;
      emit({ kind: 'sheet', name });
    },
    /** @param {number} number from 1 @param {string[]} cells */
    row(number, cells) {
      const at = { in: sheet, row: number };
      if (cells.length > limits.columns) throw tooMuch('columns', limits.columns, at);
      let used = 0;
      for (let i = 0; i < cells.length; i++) {
        const length = /** @type {string} */ (cells[i]).length;
        if (length === 0) continue;
        used = i + 1;
        total.characters += length;
      }
      if (used === 0) return;
      cells.length = used;
      total.rows++;
      total.cells += used;
      pending += used;
      if (total.rows > limits.rows) throw tooMuch('rows', limits.rows, at);
      if (total.cells > limits.cells) throw tooMuch('cells', limits.cells, at);
      if (total.characters > limits.characters) throw tooMuch('characters', limits.characters, at);
      rows.push({ number, cells });
      if (pending >= PARCEL_CELLS) flush();
    },
    /**
     * @param {import('@fillwright/core/errors').ProblemCode} code
     * @param {import('./refusal.mjs').Detail} detail
     */
    note(code, detail) {
      const count = (noted.get(code) ?? 0) + 1;
      noted.set(code, count);
      if (count <= MOST_NOTES) emit({ kind: 'note', code, detail });
    },
    end() {
      flush();
      for (const [code, count] of noted)
        if (count > MOST_NOTES)
          emit({
            kind: 'note',
            code: /** @type {import('@fillwright/core/errors').ProblemCode} */ (code),
            detail: { found: `${count - MOST_NOTES} more of the same` },
          });
    },
  };
}

/** @typedef {ReturnType<typeof gather>} Gather */
