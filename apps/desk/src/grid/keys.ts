import { moved, type Place, rectOf, type Selection, type Size, selectionOf } from './selection.ts';

/** A key as it is pressed; `far` with the control or command key. */
export interface Press {
  readonly key: string;
  readonly far: boolean;
  readonly shift: boolean;
}

/** What a key asks of the grid. */
export type Deed =
  | { readonly do: 'go'; readonly to: Place; readonly extend: boolean }
  | { readonly do: 'select'; readonly selection: Selection }
  /** Opens the cell for change, with the text that begins it anew. */
  | { readonly do: 'write'; readonly text?: string }
  | { readonly do: 'open the record' }
  | { readonly do: 'fill down' }
  | { readonly do: 'empty' };

/** What a key means where the selection stands; undefined for keys that are left to the browser. */
export function deedOf(press: Press, selection: Selection, size: Size, mayEdit: boolean): Deed | undefined {
  const { key, far, shift } = press;
  const to = moved(selection.at, key, far, size);
  if (to) return { do: 'go', to, extend: shift };
  const toTheEdges = { left: 0, right: size.columns - 1 };
  if (key === 'Enter') return far ? { do: 'open the record' } : { do: 'write' };
  if (key === 'F2') return { do: 'write' };
  if (far && key.toLowerCase() === 'a')
    return { do: 'select', selection: selectionOf({ top: 0, bottom: Math.max(0, size.rows - 1), ...toTheEdges }) };
  if (key === ' ' && shift) return { do: 'select', selection: selectionOf({ ...rectOf(selection), ...toTheEdges }) };
  if (far && key.toLowerCase() === 'd' && mayEdit) return { do: 'fill down' };
  if ((key === 'Delete' || key === 'Backspace') && mayEdit) return { do: 'empty' };
  return key.length === 1 && !far ? { do: 'write', text: key } : undefined;
}
