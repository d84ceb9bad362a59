// biome-ignore-all lint/a11y/useSemanticElements: a virtual grid laid out by itself is no table
// biome-ignore-all lint/a11y/useFocusableInteractive: the grid keeps the focus and names the active cell
import type { Problem } from '@fillwright/core/errors';
import type { AnyRow, Fleet } from '@fillwright/core/fleet';
import { memo } from 'react';
import { Mark, type Severity } from '../look/marks.tsx';
import { CellEditor } from './cell-editor.tsx';
import { type Column, isQuantity, shownText } from './columns.ts';
import type { ColumnsInSight } from './use-sight.ts';

export interface GridRowProps {
  readonly gridId: string;
  readonly row: AnyRow;
  readonly index: number;
  readonly top: number;
  readonly fleet: Fleet;
  readonly columns: readonly Column[];
  readonly sight: ColumnsInSight;
  /** Selected columns of this row; -1 for none. */
  readonly selectedFrom: number;
  readonly selectedTo: number;
  /** The active cell's column, or -1. */
  readonly active: number;
  /** The column with the handle, or -1. */
  readonly handle: number;
  readonly open: boolean;
  readonly mark: Severity | undefined;
  readonly markWords: string | undefined;
  readonly editing: string | undefined;
  readonly onValue: (id: string, column: Column, value: unknown) => Problem | undefined;
  readonly onDone: (move: 'down' | 'right' | 'left' | 'stay') => void;
  readonly onOpen: ((id: string) => void) | undefined;
}

export const cellId = (gridId: string, row: number, column: number): string => `${gridId}-${row}-${column}`;

/** One row; drawn anew only when something of its own changed. */
export const GridRow = memo(function GridRow(props: GridRowProps) {
  const { gridId, row, index, fleet, columns } = props;
  const { shown, gap } = props.sight;
  return (
    <div
      role="row"
      aria-rowindex={index + 3}
      className={`grid-row${props.open ? ' open' : ''}`}
      style={{ transform: `translateY(${props.top}px)` }}
    >
      <div role="rowheader" aria-colindex={1} className="grid-rowhead">
        {props.onOpen ? (
          <button
            type="button"
            tabIndex={-1}
            aria-label={`Open row ${index + 1}`}
            onClick={() => props.onOpen?.(row.id)}
          >
            {index + 1}
          </button>
        ) : (
          index + 1
        )}
        {props.mark && (
          <span title={props.markWords}>
            <Mark is={props.mark} bare />
          </span>
        )}
      </div>
      {shown.map((c) => {
        const column = columns[c];
        if (!column) return null;
        const selected = c >= props.selectedFrom && c <= props.selectedTo;
        const active = props.active === c;
        const { field } = column;
        return (
          <div
            key={field.name}
            id={cellId(gridId, index, c)}
            role="gridcell"
            aria-colindex={c + 2}
            aria-selected={selected}
            aria-readonly={field.name === 'id' || undefined}
            data-r={index}
            data-c={c}
            className={`grid-cell${c === 0 ? ' pinned' : ''}${selected ? ' selected' : ''}${active ? ' active' : ''}${isQuantity(field) ? ' number' : ''}${row[field.name] === null ? ' empty' : ''}`}
            style={{ width: column.width, marginLeft: c === shown[1] ? gap : undefined }}
          >
            {active && props.editing !== undefined ? (
              <CellEditor
                field={field}
                fleet={fleet}
                label={column.label}
                start={props.editing}
                onValue={(value) => props.onValue(row.id, column, value)}
                onDone={props.onDone}
              />
            ) : (
              <span className="grid-text">{shownText(fleet, field, row)}</span>
            )}
            {props.handle === c && <span className="grid-handle" data-handle="" />}
          </div>
        );
      })}
    </div>
  );
});
