import type { Problem } from '@fillwright/core/errors';
import { TABLES, type TableName } from '@fillwright/core/fleet';
import { useState } from 'react';
import { Mark } from '../look/marks.tsx';
import { ProblemNote } from '../look/problem-note.tsx';
import { countText } from '../show/amounts.ts';
import type { NotTaken, Rect } from './changes.ts';

export interface GridToolsProps {
  readonly table: TableName;
  readonly shown: number;
  readonly all: number;
  readonly rect: Rect;
  readonly busy: boolean;
  readonly mayEdit: boolean;
  readonly filtered: boolean;
  readonly onClearFilters: () => void;
  readonly onAdd: () => void;
  readonly onRemove: () => void;
  readonly onFind: (text: string) => void;
  readonly notTaken: readonly NotTaken[];
  readonly trouble: Problem | undefined;
  readonly onDismiss: () => void;
}

const MOST_LINES = 8;

/** Above the grid: find, how many rows, adding and removing, and what could not be taken. */
export function GridTools(props: GridToolsProps) {
  const { table, shown, all, rect, notTaken } = props;
  const [text, setText] = useState('');
  const { one, many } = TABLES[table];
  const rows = shown === 0 ? 0 : rect.bottom - rect.top + 1;
  const cells = rows * (rect.right - rect.left + 1);
  return (
    <div className="grid-tools">
      <div className="row">
        <form
          className="grid-find"
          onSubmit={(event) => {
            event.preventDefault();
            props.onFind(text);
          }}
        >
          <input
            className="input"
            type="search"
            aria-label={`Find in ${many}`}
            placeholder="find; Enter for the next"
            value={text}
            onChange={(e) => setText(e.target.value)}
          />
        </form>
        <span className="small quiet" role="status">
          {props.busy
            ? 'Working …'
            : shown === all
              ? `${countText(all)} ${all === 1 ? one : many}`
              : `${countText(shown)} of ${countText(all)} ${many}`}
          {cells > 1 && ` · ${countText(cells)} cells selected`}
        </span>
        {props.filtered && (
          <button type="button" className="button plain" onClick={props.onClearFilters}>
            Clear filters
          </button>
        )}
        <span className="grid-space" />
        {props.mayEdit && (
          <>
            <button type="button" className="button" onClick={props.onAdd}>
              Add {one}
            </button>
            <button type="button" className="button" disabled={rows === 0} onClick={props.onRemove}>
              {rows > 1 ? `Remove ${countText(rows)} rows` : 'Remove row'}
            </button>
          </>
        )}
      </div>
      {props.trouble && (
        <ProblemNote problem={props.trouble}>
          <button type="button" className="button" onClick={props.onDismiss}>
            Understood
          </button>
        </ProblemNote>
      )}
      {notTaken.length > 0 && (
        <div className="notice warning" role="alert">
          <Mark is="warning">
            {notTaken.length === 1 ? 'One cell was' : `${countText(notTaken.length)} cells were`} not taken and stay as
            they were
          </Mark>
          <ul>
            {notTaken.slice(0, MOST_LINES).map((n) => (
              <li key={`${n.row} ${n.column}`}>
                Row {n.row + 1}, {n.column}: {n.problem.found ? `found ‘${n.problem.found}’, ` : ''}
                {n.problem.expected ? `expected ${n.problem.expected}` : n.problem.cause}
              </li>
            ))}
            {notTaken.length > MOST_LINES && <li>and {countText(notTaken.length - MOST_LINES)} more</li>}
          </ul>
          <div>
            <button type="button" className="button" onClick={props.onDismiss}>
              Understood
            </button>
          </div>
        </div>
      )}
    </div>
  );
}
