import { type PointerEvent, type RefObject, useRef, useState } from 'react';
import type { Rect } from './changes.ts';
import { type Place, selectionOf } from './selection.ts';
import type { Cursor } from './use-cursor.ts';

/** The place of the cell that an element belongs to. */
export function placeOf(element: Element | null): Place | undefined {
  const cell = element?.closest<HTMLElement>('[data-c]');
  return cell ? { row: Number(cell.dataset.r), column: Number(cell.dataset.c) } : undefined;
}

export interface Hand {
  /** The block as it would be filled if the hand let go now: the selected one, or further down. */
  readonly target: Rect;
  readonly handlers: {
    readonly onPointerDown: (event: PointerEvent) => void;
    readonly onPointerMove: (event: PointerEvent) => void;
    readonly onPointerUp: () => void;
    readonly onPointerCancel: () => void;
  };
}

/** The hand that drags: over cells to select them, from the handle down to fill. `fill` takes the block and how many rows it repeats. */
export function useHand(
  scroll: RefObject<HTMLDivElement | null>,
  { rect, select }: Cursor,
  fill: (rect: Rect, height: number) => void,
): Hand {
  const drag = useRef<'cells' | 'fill'>(undefined);
  const [fillTo, setFillTo] = useState<number>();
  const target = fillTo === undefined ? rect : { ...rect, bottom: fillTo };

  // A pen keeps the element it began on as its target: the cell is found by where the pointer is.
  const placeUnder = (event: PointerEvent): Place | undefined => {
    const element = document.elementFromPoint(event.clientX, event.clientY);
    return scroll.current?.contains(element) ? placeOf(element) : undefined;
  };
  const letGo = () => {
    drag.current = undefined;
    setFillTo(undefined);
  };
  return {
    target,
    handlers: {
      onPointerDown: (event) => {
        const element = event.target as HTMLElement;
        if (event.button !== 0 || element.closest('input, button, .offers')) return;
        const place = placeUnder(event);
        if (!place) return;
        drag.current = element.dataset.handle === undefined ? 'cells' : 'fill';
        if (drag.current === 'cells') select((s) => ({ anchor: event.shiftKey ? s.anchor : place, at: place }));
        if (event.pointerType === 'mouse') event.preventDefault();
        scroll.current?.focus({ preventScroll: true });
      },
      onPointerMove: (event) => {
        if (!drag.current || event.pointerType === 'touch') return;
        // The button was let go where the grid could not hear of it.
        if (event.buttons === 0) return letGo();
        const place = placeUnder(event);
        if (!place) return;
        if (drag.current === 'fill') setFillTo(Math.max(rect.bottom, place.row));
        else select((s) => (s.at.row === place.row && s.at.column === place.column ? s : { ...s, at: place }));
      },
      onPointerUp: () => {
        if (drag.current === 'fill' && target.bottom > rect.bottom) {
          fill(target, rect.bottom - rect.top + 1);
          select(selectionOf(target));
        }
        letGo();
      },
      onPointerCancel: letGo,
    },
  };
}
