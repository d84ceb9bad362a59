// biome-ignore-all lint/a11y/useSemanticElements: a virtual grid laid out by itself is no table
import { rowsOf } from '@fillwright/core/fleet';
import { findingsAt, useFindings } from '../data/findings.ts';
import type { Rect, Shown } from './changes.ts';
import { GridRow, type GridRowProps } from './grid-row.tsx';
import type { Cursor } from './use-cursor.ts';
import type { Sight } from './use-sight.ts';

export interface GridBodyProps extends Pick<GridRowProps, 'gridId' | 'onValue' | 'onOpen'> {
  readonly shown: Shown;
  readonly sight: Sight;
  readonly cursor: Cursor;
  /** The block that is marked: the selected one, or what it would fill. */
  readonly target: Rect;
  readonly mayEdit: boolean;
  readonly openId: string | undefined;
}

/** The rows in sight, each told only what is its own of the selection. */
export function GridBody({ shown, sight, cursor, target, mayEdit, openId, ...same }: GridBodyProps) {
  const found = useFindings();
  const { fleet, table, order, columns } = shown;
  const rows = rowsOf(fleet, table);
  const { at } = cursor.selection;
  return (
    <div role="rowgroup" className="grid-body" style={{ width: sight.columns.width, height: sight.height }}>
      {sight.rows.map(({ index, start }) => {
        const row = rows.get(order[index] ?? '');
        if (!row) return null;
        const marked = index >= target.top && index <= target.bottom;
        const here = index === at.row;
        const about = findingsAt(found, table, row.id);
        return (
          <GridRow
            key={row.id}
            {...same}
            row={row}
            index={index}
            top={start}
            fleet={fleet}
            columns={columns}
            sight={sight.columns}
            selectedFrom={marked ? target.left : -1}
            selectedTo={marked ? target.right : -1}
            active={here ? at.column : -1}
            handle={mayEdit && index === cursor.rect.bottom ? cursor.rect.right : -1}
            open={openId === row.id}
            mark={about[0]?.severity}
            markWords={about[0]?.title}
            editing={here ? cursor.editing : undefined}
            onDone={cursor.done}
          />
        );
      })}
    </div>
  );
}
