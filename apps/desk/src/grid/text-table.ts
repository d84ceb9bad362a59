/** Cells as spreadsheets put them on the clipboard: tabs between cells, line ends between rows, quotes around what holds either. */

export function writeCells(cells: readonly (readonly string[])[]): string {
  return cells
    .map((row) => row.map((cell) => (/["\t\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell)).join('\t'))
    .join('\n');
}

/** The cells of such text; a line end at the very end begins no further row. */
export function readCells(text: string): string[][] {
  const rows: string[][] = [];
  let row: string[] = [];
  let cell = '';
  let quoted = false;
  let fresh = true;
  for (let i = 0; i < text.length; i++) {
    const c = text.charAt(i);
    if (quoted) {
      if (c !== '"') cell += c;
      else if (text.charAt(i + 1) === '"') {
        cell += '"';
        i++;
      } else quoted = false;
    } else if (c === '"' && fresh) {
      quoted = true;
      fresh = false;
    } else if (c === '\t' || c === '\n' || c === '\r') {
      if (c === '\r' && text.charAt(i + 1) === '\n') i++;
      row.push(cell);
      cell = '';
      fresh = true;
      if (c !== '\t') {
        rows.push(row);
        row = [];
      }
    } else {
      cell += c;
      fresh = false;
    }
  }
  if (cell !== '' || row.length > 0 || !fresh) {
    row.push(cell);
    rows.push(row);
  }
  return rows;
}
