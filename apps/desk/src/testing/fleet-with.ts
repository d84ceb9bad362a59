import { compile } from '@fillwright/core/decide';
import { emptyFleet, type Fleet, newRow, type RowOf, type TableName } from '@fillwright/core/fleet';
import { Book, reachTable, type Table } from '@fillwright/core/reach';
import { dayOfDate } from '@fillwright/core/units';
import { UTC } from '../show/site-time.ts';

export const GAL = 3_785_412;
export const TODAY = dayOfDate(2026, 11, 25);
export type Rows = { readonly [T in TableName]?: readonly (Partial<RowOf<T>> & { id: string })[] };

/** A fleet with these rows, everything else of them as it usually is. */
export function fleetWith(rows: Rows): Fleet {
  const fleet = emptyFleet({ name: 'Marrow Vale', units: 'us', currency: 'USD' });
  for (const [table, list] of Object.entries(rows) as [TableName, readonly { id: string }[]][])
    for (const row of list) (fleet[table] as unknown as Map<string, unknown>).set(row.id, newRow(table, row as never));
  return fleet;
}

/** Its reach over a year from `TODAY`, every site's clock showing UTC. */
export const tableOf = (fleet: Fleet, book = new Book()): Table =>
  reachTable(
    compile(fleet, () => UTC),
    [TODAY, TODAY + 364],
    book,
  );
