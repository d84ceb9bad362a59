/**
 * Volumes are integers of one microlitre. One US gallon is 231 in^3 = 3,785,411.784 uL exactly (NIST Handbook 44, App. C),
 * so a gallon count becomes microlitres by one rounding at the edge and never again.
 * Domain: whole numbers up to 2^53 - 1 uL, about 9 million m^3.
 */
export type Microlitres = number;

/** Nanolitres in a US gallon: exact. */
export const NANOLITRES_PER_GALLON = 3_785_411_784n;
export const MICROLITRES_PER_LITRE = 1_000_000;

export type VolumeUnit = 'gal' | 'l';

/** Money is an integer of 1/10,000 of the currency's unit. */
export type Money = number;
export const MONEY_PER_UNIT = 10_000;

/** Divides two integers and rounds half away from zero; exact for any size. @throws RangeError when d is not positive. */
export function divideRounded(n: bigint, d: bigint): bigint {
  if (d <= 0n) throw new RangeError('the divisor must be positive');
  const negative = n < 0n;
  const q = ((negative ? -n : n) * 2n + d) / (2n * d);
  return negative ? -q : q;
}

function whole(n: bigint): number {
  const value = Number(n);
  if (!Number.isSafeInteger(value)) throw new RangeError(`${n} is beyond exact whole numbers`);
  return value;
}

const nanolitresPer = (unit: VolumeUnit): bigint => (unit === 'gal' ? NANOLITRES_PER_GALLON : 1_000_000_000n);

/** Pulses to microlitres at `pulsesPerMeasure` (thousandths of a pulse per gallon or litre, so that 99.875 is 99,875). */
export function volumeOfPulses(pulses: number, pulsesPerMeasureMilli: number, unit: VolumeUnit): Microlitres {
  if (!Number.isSafeInteger(pulses)) throw new RangeError('pulses must be a whole number');
  if (!Number.isSafeInteger(pulsesPerMeasureMilli) || pulsesPerMeasureMilli <= 0)
    throw new RangeError('pulses per gallon or litre must be positive');
  return whole(divideRounded(BigInt(pulses) * nanolitresPer(unit), BigInt(pulsesPerMeasureMilli)));
}

/** The most whole pulses whose volume, rounded, stays at or below `volume`; so a limit is never passed by rounding. */
export function pulsesWithin(volume: Microlitres, pulsesPerMeasureMilli: number, unit: VolumeUnit): number {
  if (volume < 0) throw new RangeError('a limit cannot be below zero');
  let pulses = whole((BigInt(volume) * BigInt(pulsesPerMeasureMilli)) / nanolitresPer(unit));
  while (volumeOfPulses(pulses + 1, pulsesPerMeasureMilli, unit) <= volume) pulses++;
  return pulses;
}

/** A decimal text such as '12.345' to an integer of 10^-places; undefined when it is not one or has more places than that. */
export function parseDecimal(text: string, places: number): number | undefined {
  const m = /^([+-]?)(\d{1,15})(?:\.(\d*))?$/.exec(text.trim());
  if (!m) return undefined;
  const fraction = (m[3] ?? '').replace(/0+$/, '');
  if (fraction.length > places) return undefined;
  const value = Number(BigInt(`${m[2]}${fraction.padEnd(places, '0')}`));
  if (!Number.isSafeInteger(value)) return undefined;
  return m[1] === '-' && value !== 0 ? -value : value;
}

/** An integer of 10^-places as decimal text with at least `least` decimals. */
export function formatDecimal(value: number, places: number, least = 0): string {
  const digits = String(Math.abs(value)).padStart(places + 1, '0');
  const head = digits.slice(0, digits.length - places);
  const full = places > 0 ? digits.slice(digits.length - places) : '';
  const fraction = full.replace(/0+$/, '').padEnd(least, '0');
  return `${value < 0 ? '-' : ''}${head}${fraction ? `.${fraction}` : ''}`;
}

/** Volume in thousandths of a gallon or litre to microlitres, rounded once, half away from zero. */
export function volumeOf(milliUnits: number, unit: VolumeUnit): Microlitres {
  return whole(divideRounded(BigInt(milliUnits) * nanolitresPer(unit), 1_000_000n));
}

/** Microlitres to thousandths of a gallon or litre, rounded half away from zero. */
export function milliUnitsOf(volume: Microlitres, unit: VolumeUnit): number {
  return whole(divideRounded(BigInt(volume) * 1_000_000n, nanolitresPer(unit)));
}

/** Reads '12.5' gallons or litres; at most three decimals. */
export function parseVolume(text: string, unit: VolumeUnit): Microlitres | undefined {
  const milli = parseDecimal(text, 3);
  return milli === undefined ? undefined : volumeOf(milli, unit);
}

/** '12.5' style text of a volume in the unit, `decimals` 0 to 3, without the unit's name. */
export function formatVolume(volume: Microlitres, unit: VolumeUnit, decimals: 0 | 1 | 2 | 3 = 1): string {
  const scaled = divideRounded(BigInt(volume) * 10n ** BigInt(decimals) * 1000n, nanolitresPer(unit));
  return formatDecimal(whole(scaled), decimals, decimals);
}

/** A limit as a person would write it: '18', '12.5'; thousandths of the unit, without zeros that say nothing and without the unit's name. */
export const formatLimit = (volume: Microlitres, unit: VolumeUnit): string =>
  formatDecimal(milliUnitsOf(volume, unit), 3);

/** Amount of a volume at a price per gallon or litre, rounded half away from zero to 1/10,000. */
export function amountOf(volume: Microlitres, pricePerUnit: Money, unit: VolumeUnit): Money {
  return whole(divideRounded(BigInt(volume) * BigInt(pricePerUnit) * 1000n, nanolitresPer(unit)));
}
