import { type AnyRow, type Fleet, rowsOf, type TableName } from '@fillwright/core/fleet';
import { useEffect, useRef, useState } from 'react';
import type { Column } from './columns.ts';
import { type Filters, follow, orderOf, type Sorting } from './order.ts';
import { inSlices } from './slices.ts';

/**
 * The ids that are shown. A new sorting or filter is worked out in slices while the old order still stands; a change of rows is only
 * followed. `busy` while it is being worked out.
 */
export function useOrder(
  fleet: Fleet,
  table: TableName,
  columns: readonly Column[],
  sorting: Sorting | undefined,
  filters: Filters,
): { order: readonly string[]; busy: boolean } {
  const rows = rowsOf(fleet, table);
  const [order, setOrder] = useState<readonly string[]>(() => [...rows.keys()]);
  const [busy, setBusy] = useState(false);
  const seen = useRef<ReadonlyMap<string, AnyRow>>(rows);
  const latest = useRef(fleet);
  latest.current = fleet;
  const working = useRef(false);

  useEffect(() => {
    let stopped = false;
    const began = latest.current;
    const beganRows = rowsOf(began, table);
    working.current = true;
    setBusy(true);
    void inSlices(orderOf(began, beganRows, columns, sorting, filters), () => stopped).then((next) => {
      if (stopped || !next) return;
      const now = rowsOf(latest.current, table);
      working.current = false;
      seen.current = now;
      setOrder(now === beganRows ? next : follow(next, beganRows, now));
      setBusy(false);
    });
    return () => {
      stopped = true;
    };
  }, [table, columns, sorting, filters]);

  useEffect(() => {
    const before = seen.current;
    if (before === rows || working.current) return;
    seen.current = rows;
    setOrder((old) => follow(old, before, rows));
  }, [rows]);

  return { order, busy };
}
