import { describe, expect, it } from 'vitest';
import { deedOf } from './keys.ts';
import { rectOf, selectionOf } from './selection.ts';

const SIZE = { rows: 10, columns: 5, page: 4 };
const BLOCK = selectionOf({ top: 2, bottom: 3, left: 1, right: 2 });
const [PLAIN, SHIFT, FAR] = [
  { far: false, shift: false },
  { far: false, shift: true },
  { far: true, shift: false },
];
const go = (row: number, column: number, extend = false) => ({ do: 'go', to: { row, column }, extend });

describe('what a key asks of the grid', () => {
  it.each([
    ['ArrowDown', PLAIN, go(4, 2)],
    ['ArrowDown', SHIFT, go(4, 2, true)],
    ['ArrowDown', FAR, go(9, 2)],
    ['PageUp', PLAIN, go(0, 2)],
    ['Enter', PLAIN, { do: 'write' }],
    ['F2', PLAIN, { do: 'write' }],
    ['Enter', FAR, { do: 'open the record' }],
    ['x', PLAIN, { do: 'write', text: 'x' }],
    ['X', SHIFT, { do: 'write', text: 'X' }],
    [' ', PLAIN, { do: 'write', text: ' ' }],
    [' ', SHIFT, { do: 'select', selection: selectionOf({ top: 2, bottom: 3, left: 0, right: 4 }) }],
    ['A', FAR, { do: 'select', selection: selectionOf({ top: 0, bottom: 9, left: 0, right: 4 }) }],
    ['d', FAR, { do: 'fill down' }],
    ['Delete', PLAIN, { do: 'empty' }],
    ['Backspace', PLAIN, { do: 'empty' }],
    ['c', FAR, undefined],
    ['Escape', PLAIN, undefined],
    ['Tab', SHIFT, undefined],
  ])('%s, %o', (key, held, deed) => {
    expect(deedOf({ key, ...held }, BLOCK, SIZE, true)).toEqual(deed);
  });

  it('leaves the keys that change something to the browser where nothing may be changed', () => {
    for (const [key, held] of [
      ['d', FAR],
      ['Delete', PLAIN],
      ['Backspace', PLAIN],
    ] as const)
      expect(deedOf({ key, ...held }, BLOCK, SIZE, false)).toBeUndefined();
  });

  it('selects no row before the first in a table without rows', () => {
    const deed = deedOf({ key: 'a', ...FAR }, BLOCK, { ...SIZE, rows: 0 }, true);
    expect(deed?.do === 'select' && rectOf(deed.selection)).toEqual({ top: 0, bottom: 0, left: 0, right: 4 });
  });
});
