// biome-ignore-all lint/a11y/useSemanticElements: a virtual grid laid out by itself is no table
import { rowsOf, TABLES, type TableName } from '@fillwright/core/fleet';
import { type CSSProperties, type KeyboardEvent, useEffect, useId, useMemo, useRef, useState } from 'react';
import { useDraft } from '../data/draft.ts';
import { useMay } from '../data/me.ts';
import { editText } from './cell-editor.tsx';
import type { Shown } from './changes.ts';
import { clipboardHandlers } from './clipboard.ts';
import { columnsOf } from './columns.ts';
import { GridBody } from './grid-body.tsx';
import { GridHead } from './grid-head.tsx';
import { cellId } from './grid-row.tsx';
import { GridTools } from './grid-tools.tsx';
import { deedOf } from './keys.ts';
import { type Filters, findNext, type Sorting } from './order.ts';
import type { Place } from './selection.ts';
import { inSlices } from './slices.ts';
import { useChanges } from './use-changes.ts';
import { useCursor } from './use-cursor.ts';
import { placeOf, useHand } from './use-hand.ts';
import { useOrder } from './use-order.ts';
import { ROW, useSight } from './use-sight.ts';
import '../field/field.css';
import './grid.css';

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
  const { fleet } = useDraft();
  const mayEdit = useMay('editor');
  const leftOut = leaveOut?.join(' ') ?? '';
  const columns = useMemo(() => columnsOf(table, leftOut.split(' ')), [table, leftOut]);
  const rows = rowsOf(fleet, table);
  const [sorting, setSorting] = useState<Sorting>();
  const [filters, setFilters] = useState<Filters>(NO_FILTERS);
  const { order, busy } = useOrder(fleet, table, columns, sorting, filters);
  const shown: Shown = { fleet, table, order, columns };
  const now = useRef(shown);
  now.current = shown;

  const scroll = useRef<HTMLDivElement>(null);
  const sight = useSight(scroll, columns, order.length);
  const cursor = useCursor(now, scroll, sight.bring);
  const changes = useChanges(now);
  const hand = useHand(scroll, cursor, changes.fill);
  const { selection, rect, go } = cursor;

  /** Opens a cell with what is in it, or with `text` instead; a blank turns a flag over. */
  const write = (place: Place, text?: string) => {
    const row = rows.get(order[place.row] ?? '');
    const column = columns[place.column];
    if (!mayEdit || !row || !column || column.field.name === 'id') return;
    const { field } = column;
    const value = row[field.name];
    if (field.kind === 'flag' && text === ' ') changes.set(row.id, column, value !== true);
    else cursor.open(place, text ?? editText(field, value, fleet));
  };
  const press = (event: KeyboardEvent) => {
    if (event.target !== scroll.current || event.altKey) return;
    const key = { key: event.key, far: event.ctrlKey || event.metaKey, shift: event.shiftKey };
    const size = { rows: order.length, columns: columns.length, page: sight.page() };
    const deed = deedOf(key, selection, size, mayEdit);
    if (!deed) return;
    event.preventDefault();
    const id = order[selection.at.row];
    if (deed.do === 'go') go(deed.to, deed.extend);
    else if (deed.do === 'select') cursor.select(deed.selection);
    else if (deed.do === 'write') write(selection.at, deed.text);
    else if (deed.do === 'fill down') changes.fill(rect);
    else if (deed.do === 'empty') changes.empty(rect, 'Cells emptied');
    else if (id !== undefined) onOpen?.(id);
  };

  // A new row is in the order a moment after the change.
  const added = useRef<string>(undefined);
  useEffect(() => {
    const row = added.current === undefined ? -1 : order.indexOf(added.current);
    if (row < 0) return;
    added.current = undefined;
    go({ row, column: 0 });
  }, [order, go]);
  const addRow = () => {
    added.current = changes.add();
    scroll.current?.focus();
  };
  const removeRows = () => {
    const ids = order.slice(rect.top, rect.bottom + 1);
    changes.remove(ids);
    go({ row: Math.max(0, Math.min(rect.top, order.length - ids.length - 1)), column: rect.left });
    scroll.current?.focus();
  };
  const find = async (text: string) => {
    const search = findNext(fleet, rows, order, columns, text, selection.at);
    const place = await inSlices(search, () => now.current.order !== order);
    if (place) go(place);
  };

  // biome-ignore lint/correctness/useExhaustiveDependencies: looked at once for each row that is asked for
  useEffect(() => {
    const row = lookAt === undefined ? -1 : order.indexOf(lookAt);
    if (row >= 0) go({ row, column: 0 });
  }, [lookAt, order.length > 0]);

  const activeSeen = sight.rows.some((item) => item.index === selection.at.row);
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
        onFind={(text) => void find(text)}
        notTaken={changes.notTaken}
        trouble={changes.trouble}
        onDismiss={changes.dismiss}
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
        onDoubleClick={(event) => {
          const place = placeOf(event.target as HTMLElement);
          if (place) write(place);
        }}
        {...hand.handlers}
        {...clipboardHandlers(shown, rect, changes, mayEdit)}
      >
        <GridHead
          columns={columns}
          sight={sight.columns}
          sorting={sorting}
          onSort={setSorting}
          filters={filters}
          onFilter={setFilters}
        />
        <GridBody
          {...{ gridId, shown, sight, cursor, mayEdit, openId, onOpen }}
          target={hand.target}
          onValue={changes.set}
        />
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
