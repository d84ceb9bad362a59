/** Prices in force, taxes, statements and figures for tax returns. Decision support: nothing here is tax advice. */
export {
  centText,
  fuelColumns,
  milliText,
  noteOf,
  type StatementColumn,
  statementColumns,
  USE_WORDS,
} from './columns.ts';
export { dyedPenalty, isTaxableUse } from './dyed.ts';
export {
  distancePerUnit,
  fuelByJurisdiction,
  type JurisdictionFuel,
  perUnitText,
  taxableUnits,
} from './jurisdiction.ts';
export {
  type BilledFill,
  type Correction,
  type GroupBy,
  groupsOf,
  makeStatement,
  type Statement,
  type StatementInput,
  type Sums,
  sumsOf,
  wholeSums,
} from './statement.ts';
export type { StatementLine, TakenBack } from './statement-line.ts';
export { type ChargedLine, chargedLine, type NoSale } from './taken-back.ts';
export { type Tax, type TaxedAmount, taxedAmount, taxesInForce, toCent, type Use } from './tax.ts';
