import { divideRounded, formatDecimal, type Money } from '../units/index.ts';
import type { Statement } from './statement.ts';

/** Fuel of one product in one jurisdiction: what was drawn there, or what is taken back of one earlier period. */
export interface JurisdictionFuel {
  readonly jurisdiction: string;
  readonly product: string;
  /** Null for what was drawn; else first and last day of the period that had charged it, and all figures are 0 or below. */
  readonly back: { readonly from: string; readonly to: string } | null;
  /** Thousandths of a gallon or litre, the sum of the lines as they are shown. */
  readonly milli: number;
  /** One for each of the statement's taxes, in their order. */
  readonly taxes: readonly Money[];
}

/**
 * A statement's lines summed by jurisdiction and product, sorted by both; what is taken back of an earlier period stands below what was
 * drawn, as a row of its own for each period. Diesel exhaust fluid is no fuel and is left out (Colorado DOR, IFTA guidance).
 */
export function fuelByJurisdiction({ lines }: Pick<Statement, 'lines'>): JurisdictionFuel[] {
  const sums = new Map<string, JurisdictionFuel>();
  for (const { jurisdiction, product, productKind, milli, taxes, back } of lines) {
    if (productKind === 'def') continue;
    const of = back ? { from: back.from, to: back.to } : null;
    const key = [jurisdiction, product, of?.from ?? '', of?.to ?? ''].join('\u0000');
    const had = sums.get(key);
    sums.set(key, {
      jurisdiction,
      product,
      back: of,
      milli: (had?.milli ?? 0) + milli,
      taxes: taxes.map((amount, i) => (had?.taxes[i] ?? 0) + amount),
    });
  }
  return [...sums].sort((a, b) => (a[0] < b[0] ? -1 : 1)).map(([, sum]) => sum);
}

/**
 * Distance per gallon or litre of a fleet, in hundredths, rounded half away from zero (IFTA: total miles by total gallons, two decimals;
 * New Jersey and Idaho guidance). `distance` in whole miles or kilometres, `milli` thousandths of a gallon or litre; undefined where that is
 * not above 0.
 */
export function distancePerUnit(distance: number, milli: number): number | undefined {
  if (milli <= 0 || !Number.isSafeInteger(distance) || distance < 0) return undefined;
  return Number(divideRounded(BigInt(distance) * 100_000n, BigInt(milli)));
}

/** Whole gallons or litres that a taxable distance used at `perUnit` hundredths, rounded half away from zero. Undefined where it is 0. */
export function taxableUnits(distance: number, perUnit: number): number | undefined {
  if (perUnit <= 0 || !Number.isSafeInteger(distance) || distance < 0) return undefined;
  return Number(divideRounded(BigInt(distance) * 100n, BigInt(perUnit)));
}

export const perUnitText = (hundredths: number): string => formatDecimal(hundredths, 2, 2);
