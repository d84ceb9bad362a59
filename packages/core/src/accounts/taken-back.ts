import { milliUnitsOf, type VolumeUnit } from '../units/index.ts';
import type { StatementLine } from './statement-line.ts';

/** A line as a closed period has charged it, with all that it needs to be read without that period's statement. */
export interface ChargedLine {
  readonly line: StatementLine;
  /** Whose amounts `line.taxes` are, in that order. */
  readonly taxes: readonly string[];
  /** In which its volume and price are counted. */
  readonly unit: VolumeUnit;
  /** First and last day of the period. */
  readonly from: string;
  readonly to: string;
}

/** A charged line that turned out to be no sale: the entry that takes all of it back, on a day of a later period. */
export interface NoSale extends ChargedLine {
  readonly id: string;
  /** 'YYYY-MM-DD'. */
  readonly date: string;
  readonly reason: string;
  readonly by: string;
}

interface Charging extends Omit<ChargedLine, 'line'> {
  readonly lines: readonly StatementLine[];
}

/** What a statement charged for a fill; undefined where it did not, or only took it back. */
export function chargedLine(s: Charging, fill: string): ChargedLine | undefined {
  const line = s.lines.find((l) => l.fill === fill && !l.back);
  return line && { line, taxes: s.taxes, unit: s.unit, from: s.from, to: s.to };
}

/**
 * The line with the opposite sign: volume, net, each tax and gross, under the names, the jurisdiction and the day that were charged, so
 * that sums over both periods are as if it had never been. `names` are the taxes of the statement that it goes to, its own among them;
 * where that statement counts in another unit the volume is in it, and the price is left out.
 */
export function backLine(of: NoSale, names: readonly string[], unit: VolumeUnit): StatementLine {
  const { line, from, to, id, reason, by } = of;
  const same = of.unit === unit;
  // 0 - x and not -x: there is one zero.
  return {
    ...line,
    volume: 0 - line.volume,
    milli: 0 - (same ? line.milli : milliUnitsOf(line.volume, unit)),
    price: same ? line.price : null,
    net: 0 - line.net,
    taxes: names.map((n) => 0 - (line.taxes[of.taxes.indexOf(n)] ?? 0)),
    gross: 0 - line.gross,
    late: false,
    // Not an act that anybody answers for: nothing was sold.
    taxableUse: false,
    back: { id, from, to, reason, by },
  };
}
