import type { HoseClass, Table } from '../table.ts';
import type { Pools } from './pools.ts';
import type { Blocks } from './region.ts';

/** What the checks of one table share. */
export interface Checking {
  readonly table: Table;
  readonly pools: Pools;
  readonly blocks: Blocks;
  readonly hoseClassOf: ReadonlyMap<string, HoseClass>;
}
