import { emptyFleet, type Fleet, newRow, type RowOf, type TableName } from '@fillwright/core/fleet';

/** Rows by table, of which each says only what is not as in a new one. */
export type Rows = { readonly [T in TableName]?: readonly (Partial<RowOf<T>> & { readonly id: string })[] };

/** A fleet with these rows and no others. */
export function fleetOf(rows: Rows): Fleet {
  const fleet = emptyFleet({ name: 'Small', units: 'metric', currency: 'EUR' });
  for (const [table, list] of Object.entries(rows) as [TableName, readonly { id: string }[]][])
    for (const row of list) (fleet[table] as unknown as Map<string, unknown>).set(row.id, newRow(table, row));
  return fleet;
}
