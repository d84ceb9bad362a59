// biome-ignore-all lint/a11y/useSemanticElements: a virtual grid laid out by itself is no table
// biome-ignore-all lint/a11y/useFocusableInteractive: headings hold the buttons that take the focus
import type { Column } from './columns.ts';
import type { Filters, Sorting } from './order.ts';
import type { ColumnsInSight } from './use-sight.ts';

export interface GridHeadProps {
  readonly columns: readonly Column[];
  readonly sight: ColumnsInSight;
  readonly sorting: Sorting | undefined;
  readonly onSort: (sorting: Sorting | undefined) => void;
  readonly filters: Filters;
  readonly onFilter: (filters: Filters) => void;
}

/** Headings that sort, and under each a place to write what its column must hold. */
export function GridHead({ columns, sight, sorting, onSort, filters, onFilter }: GridHeadProps) {
  const { shown, gap, width } = sight;
  const place = (c: number, column: Column, more = '') => ({
    className: `grid-headcell${c === 0 ? ' pinned' : ''}${more}`,
    style: { width: column.width, marginLeft: c === shown[1] ? gap : undefined },
  });
  return (
    <div role="rowgroup" className="grid-head" style={{ width }}>
      <div role="row" aria-rowindex={1} className="grid-headrow">
        <div role="columnheader" aria-colindex={1} className="grid-corner">
          <span className="unseen">Row</span>
        </div>
        {shown.map((c) => {
          const column = columns[c];
          if (!column) return null;
          const name = column.field.name;
          const is = sorting?.column === name ? (sorting.down ? 'descending' : 'ascending') : 'none';
          const next =
            is === 'none'
              ? { column: name, down: false }
              : is === 'ascending'
                ? { column: name, down: true }
                : undefined;
          return (
            <div key={name} role="columnheader" aria-colindex={c + 2} aria-sort={is} {...place(c, column)}>
              <button type="button" title={column.field.help} onClick={() => onSort(next)}>
                <span>{column.label}</span>
                <span aria-hidden="true" className="grid-sort">
                  {is === 'ascending' ? '↑' : is === 'descending' ? '↓' : ''}
                </span>
              </button>
            </div>
          );
        })}
      </div>
      <div role="row" aria-rowindex={2} className="grid-headrow grid-filters">
        <div role="gridcell" aria-colindex={1} className="grid-corner">
          <span className="unseen">Filters</span>
        </div>
        {shown.map((c) => {
          const column = columns[c];
          if (!column) return null;
          const name = column.field.name;
          return (
            <div key={name} role="gridcell" aria-colindex={c + 2} {...place(c, column, ' filter')}>
              <input
                type="search"
                aria-label={`Filter ${column.label}`}
                placeholder="filter"
                title="Text that it holds; = and the exact text; for quantities > or < and a value"
                value={filters[name] ?? ''}
                onChange={(e) => onFilter({ ...filters, [name]: e.target.value })}
              />
            </div>
          );
        })}
      </div>
    </div>
  );
}
