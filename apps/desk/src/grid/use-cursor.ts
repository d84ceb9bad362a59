import { type RefObject, useCallback, useState } from 'react';
import type { Rect, Shown } from './changes.ts';
import { moved, type Place, rectOf, type Selection, START } from './selection.ts';

export interface Cursor {
  readonly selection: Selection;
  /** The block that is selected. */
  readonly rect: Rect;
  readonly select: (next: Selection | ((before: Selection) => Selection)) => void;
  /** To a place, which is brought into sight; `extend` keeps where the selection began. */
  readonly go: (to: Place, extend?: boolean) => void;
  /** What the cell that is open for change was opened with; undefined while none is. */
  readonly editing: string | undefined;
  readonly open: (place: Place, text: string) => void;
  /** Shuts the open cell and moves on; the same function throughout, so that rows need not be drawn anew. */
  readonly done: (move: 'down' | 'right' | 'left' | 'stay') => void;
}

/** Where a grid is worked in. `now` is what is shown at the time of a call. */
export function useCursor(
  now: RefObject<Shown>,
  scroll: RefObject<HTMLDivElement | null>,
  bring: (place: Place) => void,
): Cursor {
  const [selection, select] = useState<Selection>(START);
  const [editing, setEditing] = useState<string>();
  const go = useCallback(
    (to: Place, extend = false) => {
      select((s) => ({ anchor: extend ? s.anchor : to, at: to }));
      setEditing(undefined);
      bring(to);
    },
    [bring],
  );
  const open = (place: Place, text: string) => {
    select({ anchor: place, at: place });
    setEditing(text);
  };
  const done = useCallback(
    (move: 'down' | 'right' | 'left' | 'stay') => {
      setEditing(undefined);
      const { order, columns } = now.current;
      const key = { down: 'ArrowDown', right: 'ArrowRight', left: 'ArrowLeft', stay: '' }[move];
      select((s) => {
        const to = moved(s.at, key, false, { rows: order.length, columns: columns.length, page: 1 });
        return to ? { anchor: to, at: to } : s;
      });
      if (move !== 'stay') scroll.current?.focus();
    },
    [now, scroll],
  );
  return { selection, rect: rectOf(selection), select, go, editing, open, done };
}
