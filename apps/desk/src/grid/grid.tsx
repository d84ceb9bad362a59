// biome-ignore-all lint/a11y/useSemanticElements: a virtual grid laid out by itself is no table
import type { Problem } from '@fillwright/core/errors';
import { type Edit, rowsOf, TABLES, type TableName } from '@fillwright/core/fleet';
import { useVirtualizer } from '@tanstack/react-virtual';
import { type CSSProperties, useCallback, useEffect, useId, useMemo, useRef, useState } from 'react';
import { useToday } from '../data/clock.ts';
import { useDraft } from '../data/draft.ts';
import { findingsAt, useFindings } from '../data/findings.ts';
import { useMay } from '../data/me.ts';
import { nameOf } from '../data/where.ts';
import { editText } from './cell-editor.tsx';
import {
  type Changes,
  cellsText,
  clearChanges,
  fillChanges,
  freshRow,
  type NotTaken,
  pasteChanges,
  type Rect,
} from './changes.ts';
import { type Column, columnsOf } from './columns.ts';
import { GridHead } from './grid-head.tsx';
import { cellId, GridRow } from './grid-row.tsx';
import { GridTools } from './grid-tools.tsx';
import { type Filters, findNext, type Sorting } from './order.ts';
import { moved, type Place, rectOf, type Selection, START } from './selection.ts';
import { inSlices } from './slices.ts';
import { readCells, writeCells } from './text-table.ts';
import { useOrder } from './use-order.ts';
import '../field/field.css';
import './grid.css';

/** As high as a finger needs, lower for a mouse at a desk: px, as --touch of the look when the page was opened. */
const ROW = matchMedia('(pointer: fine) and (min-width: 1101px)').matches ? 34 : 40;
const HEAD = 2 * ROW;
const ROWHEAD = 64;
const NO_FILTERS: Filters = {};

export interface GridProps {
  readonly table: TableName;
  /** Fields that have no column. */
  readonly leaveOut?: readonly string[];
  /** Opens a record beside the grid. */
  readonly onOpen?: (id: string) => void;
  readonly openId?: string | undefined;
  /** A row to bring into sight. */
  readonly lookAt?: string | undefined;
}

/** A table of the draft as a spreadsheet: every change is kept at once and can be undone. */
export function Grid({ table, leaveOut, onOpen, openId, lookAt }: GridProps) {
  const gridId = useId();
  const { fleet, edit } = useDraft();
  const mayEdit = useMay('editor');
  const today = useToday();
  const found = useFindings();
  const leftOut = leaveOut?.join(' ') ?? '';
  const columns = useMemo(() => columnsOf(table, leftOut.split(' ')), [table, leftOut]);
  const rows = rowsOf(fleet, table);
  const [sorting, setSorting] = useState<Sorting>();
  const [filters, setFilters] = useState<Filters>(NO_FILTERS);
  const { order, busy } = useOrder(fleet, table, columns, sorting, filters);
  const [selection, setSelection] = useState<Selection>(START);
  const [editing, setEditing] = useState<string>();
  const [notTaken, setNotTaken] = useState<readonly NotTaken[]>([]);
  const [trouble, setTrouble] = useState<Problem>();
  const [fillTo, setFillTo] = useState<number>();
  const scroll = useRef<HTMLDivElement>(null);
  const drag = useRef<'cells' | 'fill'>(undefined);

  const pinned = columns[0]?.width ?? 0;
  const rowLine = useVirtualizer({
    count: order.length,
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
  const first = (inSight[0]?.index ?? 0) + 1;
  const last = (inSight.at(-1)?.index ?? -1) + 1;
  const gap = inSight[0]?.start ?? 0;
  const width = ROWHEAD + pinned + columnLine.getTotalSize();

  const rect = rectOf(selection);
  const shown = { fleet, table, order, columns };

  const go = useCallback(
    (to: Place, extend = false) => {
      setSelection((s) => ({ anchor: extend ? s.anchor : to, at: to }));
      setEditing(undefined);
      rowLine.scrollToIndex(to.row);
      if (to.column > 0) columnLine.scrollToIndex(to.column - 1);
    },
    [rowLine, columnLine],
  );

  const make = (changes: Changes, note: string) => {
    setTrouble(undefined);
    setNotTaken(changes.notTaken);
    if (changes.edits.length === 0) return;
    const done = edit(changes.edits, note);
    if (!done.ok) setTrouble(done.error[0]);
  };

  // What the rows call when they are worked in: the same functions throughout, so that rows need not be drawn anew.
  const now = useRef({ order, columns, edit, fleet });
  now.current = { order, columns, edit, fleet };
  const onValue = useCallback(
    (id: string, column: Column, value: unknown): Problem | undefined => {
      const done = now.current.edit(
        [{ op: 'set', table, id, fields: { [column.field.name]: value } }],
        `${column.label} of ${TABLES[table].one} ${nameOf(now.current.fleet, table, id)}`,
      );
      return done.ok ? undefined : done.error[0];
    },
    [table],
  );
  const onDone = useCallback((move: 'down' | 'right' | 'left' | 'stay') => {
    setEditing(undefined);
    const size = { rows: now.current.order.length, columns: now.current.columns.length, page: 1 };
    const key = { down: 'ArrowDown', right: 'ArrowRight', left: 'ArrowLeft', stay: '' }[move];
    setSelection((s) => {
      const to = moved(s.at, key, false, size);
      return to ? { anchor: to, at: to } : s;
    });
    if (move !== 'stay') scroll.current?.focus();
  }, []);

  const open = (place: Place, text?: string) => {
    const row = rows.get(order[place.row] ?? '');
    const field = columns[place.column]?.field;
    if (!mayEdit || !row || !field || field.name === 'id') return;
    if (field.kind === 'flag' && text === ' ') {
      const column = columns[place.column];
      if (column) onValue(row.id, column, row[field.name] !== true);
      return;
    }
    setSelection({ anchor: place, at: place });
    setEditing(text ?? editText(field, row[field.name], fleet));
  };

  const press = (event: React.KeyboardEvent) => {
    if (event.target !== scroll.current || event.altKey) return;
    const far = event.ctrlKey || event.metaKey;
    const page = Math.max(1, Math.floor((scroll.current.clientHeight - HEAD) / ROW) - 1);
    const to = moved(selection.at, event.key, far, { rows: order.length, columns: columns.length, page });
    const { key } = event;
    if (to) go(to, event.shiftKey);
    else if (key === 'Enter' && far) {
      const id = order[selection.at.row];
      if (id !== undefined) onOpen?.(id);
    } else if (key === 'Enter' || key === 'F2') open(selection.at);
    else if (far && key.toLowerCase() === 'a')
      setSelection({ anchor: { row: 0, column: 0 }, at: { row: order.length - 1, column: columns.length - 1 } });
    else if (key === ' ' && event.shiftKey)
      setSelection({ anchor: { row: rect.top, column: 0 }, at: { row: rect.bottom, column: columns.length - 1 } });
    else if (far && key.toLowerCase() === 'd' && mayEdit) make(fillChanges(shown, rect), fillNote(rect, columns));
    else if ((key === 'Delete' || key === 'Backspace') && mayEdit) make(clearChanges(shown, rect), 'Cells emptied');
    else if (key.length === 1 && !far) open(selection.at, key);
    else return;
    event.preventDefault();
  };

  const placeUnder = (event: React.PointerEvent): Place | undefined => {
    const cell = (document.elementFromPoint(event.clientX, event.clientY) as HTMLElement | null)?.closest<HTMLElement>(
      '[data-c]',
    );
    return cell && scroll.current?.contains(cell)
      ? { row: Number(cell.dataset.r), column: Number(cell.dataset.c) }
      : undefined;
  };
  const pointerDown = (event: React.PointerEvent) => {
    const target = event.target as HTMLElement;
    if (event.button !== 0 || target.closest('input, button, .offers')) return;
    const place = placeUnder(event);
    if (!place) return;
    drag.current = target.dataset.handle === undefined ? 'cells' : 'fill';
    if (drag.current === 'cells') setSelection((s) => ({ anchor: event.shiftKey ? s.anchor : place, at: place }));
    if (event.pointerType === 'mouse') event.preventDefault();
    scroll.current?.focus({ preventScroll: true });
  };
  const pointerMove = (event: React.PointerEvent) => {
    if (!drag.current || event.pointerType === 'touch') return;
    const place = placeUnder(event);
    if (!place) return;
    if (drag.current === 'fill') setFillTo(Math.max(rect.bottom, place.row));
    else setSelection((s) => (s.at.row === place.row && s.at.column === place.column ? s : { ...s, at: place }));
  };
  const pointerUp = () => {
    if (drag.current === 'fill' && fillTo !== undefined && fillTo > rect.bottom) {
      const filled = { ...rect, bottom: fillTo };
      make(fillChanges(shown, filled, rect.bottom - rect.top + 1), fillNote(rect, columns));
      setSelection({
        anchor: { row: filled.top, column: filled.left },
        at: { row: filled.bottom, column: filled.right },
      });
    }
    drag.current = undefined;
    setFillTo(undefined);
  };

  const copy = (event: React.ClipboardEvent) => {
    if (event.target instanceof HTMLInputElement) return;
    event.clipboardData.setData('text/plain', writeCells(cellsText(shown, rect)));
    event.preventDefault();
    if (event.type === 'cut' && mayEdit) make(clearChanges(shown, rect), 'Cells cut');
  };
  const paste = (event: React.ClipboardEvent) => {
    if (event.target instanceof HTMLInputElement || !mayEdit) return;
    const cells = readCells(event.clipboardData.getData('text/plain'));
    event.preventDefault();
    if (cells.length > 0)
      make(pasteChanges(shown, cells, rect, today), `Pasted ${cells.length} rows into ${TABLES[table].many}`);
  };

  const addRow = () => {
    const row = freshRow(fleet, table, today);
    make({ edits: [{ op: 'put', table, row }], notTaken: [] }, `A new ${TABLES[table].one}`);
    scroll.current?.focus();
    // The new row is the last; it is in the order after this change is drawn.
    setTimeout(() => go({ row: now.current.order.length - 1, column: 0 }));
  };
  const removeRows = () => {
    const edits: Edit[] = order.slice(rect.top, rect.bottom + 1).map((id) => ({ op: 'remove', table, id }));
    const what =
      edits.length === 1
        ? `${TABLES[table].one} ${nameOf(fleet, table, order[rect.top] ?? '')}`
        : `${edits.length} ${TABLES[table].many}`;
    make({ edits, notTaken: [] }, `Removed ${what}`);
    go({ row: Math.max(0, Math.min(rect.top, order.length - edits.length - 1)), column: rect.left });
    scroll.current?.focus();
  };
  const find = (text: string) => {
    const from = selection.at;
    void inSlices(findNext(fleet, rows, order, columns, text, from), () => now.current.order !== order).then(
      (place) => {
        if (place) go(place);
      },
    );
  };

  // biome-ignore lint/correctness/useExhaustiveDependencies: looked at once for each row that is asked for
  useEffect(() => {
    const row = lookAt === undefined ? -1 : order.indexOf(lookAt);
    if (row >= 0) go({ row, column: 0 });
  }, [lookAt, order.length > 0]);

  const target: Rect = fillTo === undefined ? rect : { ...rect, bottom: fillTo };
  const items = rowLine.getVirtualItems();
  const activeSeen = items.some((item) => item.index === selection.at.row);
  return (
    <div className="grid-whole">
      <GridTools
        table={table}
        shown={order.length}
        all={rows.size}
        rect={rect}
        busy={busy}
        mayEdit={mayEdit}
        filtered={Object.values(filters).some((f) => f.trim() !== '')}
        onClearFilters={() => setFilters(NO_FILTERS)}
        onAdd={addRow}
        onRemove={removeRows}
        onFind={find}
        notTaken={notTaken}
        trouble={trouble}
        onDismiss={() => {
          setNotTaken([]);
          setTrouble(undefined);
        }}
      />
      <div
        ref={scroll}
        className="grid-scroll"
        style={{ '--grid-row': `${ROW}px` } as CSSProperties}
        role="grid"
        tabIndex={0}
        aria-label={TABLES[table].many}
        aria-rowcount={order.length + 2}
        aria-colcount={columns.length + 1}
        aria-multiselectable="true"
        aria-activedescendant={
          activeSeen && order.length > 0 ? cellId(gridId, selection.at.row, selection.at.column) : undefined
        }
        onKeyDown={press}
        onPointerDown={pointerDown}
        onPointerMove={pointerMove}
        onPointerUp={pointerUp}
        onPointerCancel={pointerUp}
        onDoubleClick={(event) => {
          const cell = (event.target as HTMLElement).closest<HTMLElement>('[data-c]');
          if (cell) open({ row: Number(cell.dataset.r), column: Number(cell.dataset.c) });
        }}
        onCopy={copy}
        onCut={copy}
        onPaste={paste}
      >
        <GridHead
          columns={columns}
          first={first}
          last={last}
          gap={gap}
          width={width}
          sorting={sorting}
          onSort={setSorting}
          filters={filters}
          onFilter={setFilters}
        />
        <div role="rowgroup" className="grid-body" style={{ width, height: rowLine.getTotalSize() }}>
          {items.map((item) => {
            const row = rows.get(order[item.index] ?? '');
            if (!row) return null;
            const inRect = item.index >= target.top && item.index <= target.bottom;
            const here = item.index === selection.at.row;
            const about = findingsAt(found, table, row.id);
            return (
              <GridRow
                key={row.id}
                gridId={gridId}
                row={row}
                index={item.index}
                top={item.start}
                fleet={fleet}
                columns={columns}
                first={first}
                last={last}
                gap={gap}
                selectedFrom={inRect ? target.left : -1}
                selectedTo={inRect ? target.right : -1}
                active={here ? selection.at.column : -1}
                handle={mayEdit && item.index === rect.bottom ? rect.right : -1}
                open={openId === row.id}
                mark={about[0]?.severity}
                markWords={about[0]?.title}
                editing={here ? editing : undefined}
                onValue={onValue}
                onDone={onDone}
                onOpen={onOpen}
              />
            );
          })}
        </div>
        {order.length === 0 && !busy && (
          <p className="grid-none quiet">
            {rows.size === 0
              ? `No ${TABLES[table].many} yet. Add one, paste from a spreadsheet, or import a file.`
              : 'No row passes the filters.'}
          </p>
        )}
      </div>
    </div>
  );
}

const fillNote = (rect: Rect, columns: readonly Column[]): string =>
  `Filled down ${columns
    .slice(rect.left, rect.right + 1)
    .map((c) => c.label)
    .join(', ')}`;
