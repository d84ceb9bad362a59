import type { Flag, FlagFill, LooseFlow } from '@fillwright/core/flags';
import type { Fleet } from '@fillwright/core/fleet';
import type { TankStock } from '@fillwright/wire';
import type { TankRows } from '../stock/rows.ts';
import type { StockWish } from '../stock/tank-stock.ts';

/** What is asked of the thread that works figures out of the ledger. */
export type Question =
  | { readonly kind: 'stock'; readonly wish: StockWish; readonly rows: TankRows }
  | {
      readonly kind: 'flags';
      readonly fleet: Fleet;
      readonly fills: readonly FlagFill[];
      readonly loose: readonly LooseFlow[];
      readonly since: number;
    };

export type AnswerTo = {
  readonly stock: TankStock;
  readonly flags: readonly Flag[];
};
