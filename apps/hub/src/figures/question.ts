import type { Flag, FlagFill, LooseFlow } from '@fillwright/core/flags';
import type { Fleet } from '@fillwright/core/fleet';
import type { TankStock, TankVerdict } from '@fillwright/wire';
import type { TankRows } from '../stock/rows.ts';
import type { StockWish } from '../stock/tank-stock.ts';

/** A tank's wet stock is worked out from these. */
export interface StockAsked {
  readonly wish: StockWish;
  readonly rows: TankRows;
}

/** What is asked of the thread that works figures out of the ledger. */
export type Question =
  | ({ readonly kind: 'stock' } & StockAsked)
  /** The same in a line: a trace that nobody looks at is neither sent nor kept. */
  | ({ readonly kind: 'verdict' } & StockAsked)
  | {
      readonly kind: 'flags';
      readonly fleet: Fleet;
      readonly fills: readonly FlagFill[];
      readonly loose: readonly LooseFlow[];
      readonly since: number;
    };

export type AnswerTo = {
  readonly stock: TankStock;
  readonly verdict: TankVerdict;
  readonly flags: readonly Flag[];
};
