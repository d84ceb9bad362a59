import type { Table } from '../table.ts';
import type { Cells } from './cells.ts';
import type { Holdings } from './holdings.ts';
import type { Places } from './places.ts';
import type { Pools } from './pools.ts';
import type { Blocks } from './region.ts';
import type { Lookup } from './sentence.ts';

/** What the checks of one table share. */
export interface Checking {
  readonly table: Table;
  readonly look: Lookup;
  readonly blocks: Blocks;
  readonly cells: Cells;
  readonly holdings: Holdings;
  readonly pools: Pools;
  readonly places: Places;
}
