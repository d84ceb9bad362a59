import type { Product } from '../fleet/index.ts';
import type { Microlitres, Money } from '../units/index.ts';
import type { Use } from './tax.ts';

/** One fill on a statement, with everything that it says: nothing is looked up again. Money is whole cents in 1/10,000. */
export interface StatementLine {
  readonly fill: string;
  readonly date: string;
  readonly site: string;
  readonly jurisdiction: string;
  readonly product: string;
  readonly productKind: Product['kind'];
  readonly vehicle: string;
  readonly driver: string;
  readonly costCentre: string;
  readonly code: string;
  readonly use: Use;
  readonly volume: Microlitres;
  /** Thousandths of a gallon or litre: what is shown and summed. */
  readonly milli: number;
  /** Null where no price is in force: the line then counts nothing. */
  readonly price: Money | null;
  readonly net: Money;
  /** One for each of the statement's taxes, in their order. */
  readonly taxes: readonly Money[];
  readonly gross: Money;
  /** Its day lies in a period that was closed before the fill came. */
  readonly late: boolean;
  /** Dyed fuel in a road vehicle. */
  readonly taxableUse: boolean;
  /** Only on a line that takes back what an earlier period charged: its figures are those with the opposite sign. */
  readonly back?: TakenBack;
}

/** Why a line was taken back, and of which period. */
export interface TakenBack {
  readonly id: string;
  readonly from: string;
  readonly to: string;
  readonly reason: string;
  readonly by: string;
}
