import { useVirtualizer, type VirtualItem } from '@tanstack/react-virtual';
import { type RefObject, useCallback, useEffect, useMemo } from 'react';
import type { Column } from './columns.ts';
import type { Place } from './selection.ts';

/** As high as a finger needs, lower for a mouse at a desk: px, as --touch of the look when the page was opened. */
export const ROW = matchMedia('(pointer: fine) and (min-width: 1101px)').matches ? 34 : 40;
const HEAD = 2 * ROW;
const ROWHEAD = 64;

/** The columns in sight; the same object while nothing of it changes, so that rows need not be drawn anew. */
export interface ColumnsInSight {
  /** Their places: always the first, which is pinned, then those that scrolling shows. */
  readonly shown: readonly number[];
  /** What is scrolled out between the first and the next, and the width of all columns, in CSS pixels. */
  readonly gap: number;
  readonly width: number;
}

export interface Sight {
  readonly columns: ColumnsInSight;
  readonly rows: readonly VirtualItem[];
  /** Of all rows together, in CSS pixels. */
  readonly height: number;
  /** Scrolls until the place can be seen; the same function throughout. */
  readonly bring: (place: Place) => void;
  /** How many rows a page key goes. */
  readonly page: () => number;
}

/** Which part of a grid of `count` rows is in sight: only that is drawn. */
export function useSight(scroll: RefObject<HTMLDivElement | null>, columns: readonly Column[], count: number): Sight {
  const pinned = columns[0]?.width ?? 0;
  const rowLine = useVirtualizer({
    count,
    getScrollElement: () => scroll.current,
    estimateSize: () => ROW,
    overscan: 8,
    scrollPaddingStart: HEAD,
    paddingEnd: ROW,
  });
  const columnLine = useVirtualizer({
    horizontal: true,
    count: Math.max(0, columns.length - 1),
    getScrollElement: () => scroll.current,
    estimateSize: (i) => columns[i + 1]?.width ?? 0,
    overscan: 2,
    scrollPaddingStart: ROWHEAD + pinned,
  });
  // biome-ignore lint/correctness/useExhaustiveDependencies: widths are measured anew when the columns change
  useEffect(() => columnLine.measure(), [columns]);

  const inSight = columnLine.getVirtualItems();
  const first = inSight[0]?.index ?? 0;
  const last = inSight.at(-1)?.index ?? -1;
  const gap = inSight[0]?.start ?? 0;
  const width = ROWHEAD + pinned + columnLine.getTotalSize();
  const columnsInSight = useMemo(() => {
    const shown = [0];
    for (let i = first; i <= last; i++) shown.push(i + 1);
    return { shown, gap, width };
  }, [first, last, gap, width]);

  const bring = useCallback(
    (place: Place) => {
      rowLine.scrollToIndex(place.row);
      if (place.column > 0) columnLine.scrollToIndex(place.column - 1);
    },
    [rowLine, columnLine],
  );
  return {
    columns: columnsInSight,
    rows: rowLine.getVirtualItems(),
    height: rowLine.getTotalSize(),
    bring,
    page: () => Math.max(1, Math.floor(((scroll.current?.clientHeight ?? 0) - HEAD) / ROW) - 1),
  };
}
