import type { Rect } from './changes.ts';

/** A place in the grid: row and column from 0. */
export interface Place {
  readonly row: number;
  readonly column: number;
}

/** What is selected: from where it was begun to where the keys now are. */
export interface Selection {
  readonly anchor: Place;
  readonly at: Place;
}

export const START: Selection = { anchor: { row: 0, column: 0 }, at: { row: 0, column: 0 } };

export const rectOf = ({ anchor, at }: Selection): Rect => ({
  top: Math.min(anchor.row, at.row),
  bottom: Math.max(anchor.row, at.row),
  left: Math.min(anchor.column, at.column),
  right: Math.max(anchor.column, at.column),
});

/** A block selected from its top left. */
export const selectionOf = ({ top, bottom, left, right }: Rect): Selection => ({
  anchor: { row: top, column: left },
  at: { row: bottom, column: right },
});

export interface Size {
  readonly rows: number;
  readonly columns: number;
  /** Rows that fit on the screen. */
  readonly page: number;
}

/** Where a key leads; undefined for keys that do not move. `far` goes to the edge. */
export function moved(at: Place, key: string, far: boolean, size: Size): Place | undefined {
  const to = (row: number, column: number): Place => ({
    row: Math.max(0, Math.min(size.rows - 1, row)),
    column: Math.max(0, Math.min(size.columns - 1, column)),
  });
  switch (key) {
    case 'ArrowUp':
      return to(far ? 0 : at.row - 1, at.column);
    case 'ArrowDown':
      return to(far ? size.rows - 1 : at.row + 1, at.column);
    case 'ArrowLeft':
      return to(at.row, far ? 0 : at.column - 1);
    case 'ArrowRight':
      return to(at.row, far ? size.columns - 1 : at.column + 1);
    case 'Home':
      return to(far ? 0 : at.row, 0);
    case 'End':
      return to(far ? size.rows - 1 : at.row, size.columns - 1);
    case 'PageUp':
      return to(at.row - size.page, at.column);
    case 'PageDown':
      return to(at.row + size.page, at.column);
    default:
      return undefined;
  }
}
