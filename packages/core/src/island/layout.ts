/** Text as it will stand on a display or a receipt: cells in columns, aligned by the layout, never by spaces that someone types. */

export type Align = 'left' | 'centre' | 'right';
export interface Cell {
  readonly text: string;
  readonly align?: Align;
}
/** One line: cells share its width evenly, but for a second and last one at the right, which gets what it needs; a single string is one cell at the left. */
export type Line = string | Cell | readonly Cell[];

export interface Overflow {
  readonly line: number;
  readonly text: string;
  /** Characters that do not fit; for lines below the last row, all of them. */
  readonly over: number;
}
export interface Laid {
  /** Exactly `columns` characters each. */
  readonly lines: readonly string[];
  readonly overflow: readonly Overflow[];
}

/** Characters as a person counts them, so that an accent or a combined sign is one. */
export const lengthOf = (text: string): number => [...text.normalize('NFC')].length;

function put(text: string, width: number, align: Align): string {
  const all = [...text.normalize('NFC')];
  const shown = all.slice(0, width).join('');
  const space = width - Math.min(all.length, width);
  if (align === 'right') return ' '.repeat(space) + shown;
  const left = align === 'centre' ? Math.floor(space / 2) : 0;
  return ' '.repeat(left) + shown + ' '.repeat(space - left);
}

const cellsOf = (line: Line): readonly Cell[] =>
  typeof line === 'string' ? [{ text: line }] : Array.isArray(line) ? line : [line as Cell];

/**
 * Lays lines out on `columns` by `rows` characters (rows null: as many as there are). Two cells, the second at the right: the first gets what the second leaves.
 * What does not fit is cut and reported. @throws RangeError when columns is below 1.
 */
export function layOut(lines: readonly Line[], columns: number, rows: number | null = null): Laid {
  if (!Number.isInteger(columns) || columns < 1) throw new RangeError('columns must be a whole number of at least 1');
  const overflow: Overflow[] = [];
  const out: string[] = [];
  lines.forEach((line, n) => {
    const cells = cellsOf(line);
    const text = cells.map((c) => c.text).join(' ');
    if (rows !== null && n >= rows) {
      if (lengthOf(text) > 0) overflow.push({ line: n, text, over: lengthOf(text) });
      return;
    }
    const last = cells.at(-1);
    const widths =
      cells.length === 2 && last && (last.align ?? 'right') === 'right'
        ? [Math.max(0, columns - lengthOf(last.text) - 1), Math.min(columns, lengthOf(last.text) + 1)]
        : cells.map(
            (_, i) => Math.floor((columns * (i + 1)) / cells.length) - Math.floor((columns * i) / cells.length),
          );
    let over = 0;
    const shown = cells.map((c, i) => {
      const width = widths[i] ?? 0;
      const align = c.align ?? (cells.length === 2 && i === 1 ? 'right' : 'left');
      over += Math.max(0, lengthOf(c.text) - width);
      return put(c.text, width, align);
    });
    if (over > 0) overflow.push({ line: n, text, over });
    out.push(shown.join(''));
  });
  while (rows !== null && out.length < rows) out.push(' '.repeat(columns));
  return { lines: out, overflow };
}

/** Breaks a text at spaces into lines of at most `columns`; a word that is longer is broken within. */
export function wrap(text: string, columns: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (let word of text.split(/\s+/).filter((w) => w !== '')) {
    if (line !== '' && lengthOf(line) + 1 + lengthOf(word) <= columns) {
      line = `${line} ${word}`;
      continue;
    }
    if (line !== '') lines.push(line);
    while (lengthOf(word) > columns) {
      lines.push([...word].slice(0, columns).join(''));
      word = [...word].slice(columns).join('');
    }
    line = word;
  }
  if (line !== '') lines.push(line);
  return lines;
}
