import type { ClipboardEvent } from 'react';
import { cellsText, type Rect, type Shown } from './changes.ts';
import { readCells, writeCells } from './text-table.ts';
import type { GridChanges } from './use-changes.ts';

/** The selected block to the clipboard and back from it. What is copied inside a cell that is open belongs to its editor. */
export function clipboardHandlers(shown: Shown, rect: Rect, changes: GridChanges, mayEdit: boolean) {
  const copy = (event: ClipboardEvent) => {
    if (event.target instanceof HTMLInputElement) return;
    event.clipboardData.setData('text/plain', writeCells(cellsText(shown, rect)));
    event.preventDefault();
    if (event.type === 'cut' && mayEdit) changes.empty(rect, 'Cells cut');
  };
  const paste = (event: ClipboardEvent) => {
    if (event.target instanceof HTMLInputElement || !mayEdit) return;
    const cells = readCells(event.clipboardData.getData('text/plain'));
    event.preventDefault();
    if (cells.length > 0) changes.paste(cells, rect);
  };
  return { onCopy: copy, onCut: copy, onPaste: paste };
}
