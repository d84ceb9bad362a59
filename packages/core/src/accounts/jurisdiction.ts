import { divideRounded, formatDecimal, type Microlitres, milliUnitsOf, type VolumeUnit } from '../units/index.ts';

/** Fuel of one product drawn in one jurisdiction. */
export interface JurisdictionFuel {
  readonly jurisdiction: string;
  readonly product: string;
  readonly volume: Microlitres;
}

/** Sums by jurisdiction and product, sorted by both. Diesel exhaust fluid is no fuel and is left out (Colorado DOR, IFTA guidance). */
export function fuelByJurisdiction(lines: Iterable<JurisdictionFuel & { readonly kind: string }>): JurisdictionFuel[] {
  const sums = new Map<string, JurisdictionFuel>();
  for (const { kind, jurisdiction, product, volume } of lines) {
    if (kind === 'def') continue;
    const key = JSON.stringify([jurisdiction, product]);
    sums.set(key, { jurisdiction, product, volume: (sums.get(key)?.volume ?? 0) + volume });
  }
  return [...sums].sort((a, b) => (a[0] < b[0] ? -1 : 1)).map(([, sum]) => sum);
}

/**
 * Distance per gallon or litre of a fleet, in hundredths, rounded half away from zero (IFTA: total miles by total gallons, two decimals;
 * New Jersey and Idaho guidance). `distance` in whole miles or kilometres, `volume` above 0; undefined where nothing was drawn.
 */
export function distancePerUnit(distance: number, volume: Microlitres, unit: VolumeUnit): number | undefined {
  const milli = milliUnitsOf(volume, unit);
  if (milli <= 0 || !Number.isSafeInteger(distance) || distance < 0) return undefined;
  return Number(divideRounded(BigInt(distance) * 100_000n, BigInt(milli)));
}

/** Whole gallons or litres that a taxable distance used at `perUnit` hundredths, rounded half away from zero. Undefined where it is 0. */
export function taxableUnits(distance: number, perUnit: number): number | undefined {
  if (perUnit <= 0 || !Number.isSafeInteger(distance) || distance < 0) return undefined;
  return Number(divideRounded(BigInt(distance) * 100n, BigInt(perUnit)));
}

export const perUnitText = (hundredths: number): string => formatDecimal(hundredths, 2, 2);
