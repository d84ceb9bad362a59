/** Fuel in a tank over time, as the statistics take it. Litres in floating point; ledger quantities stay whole microlitres elsewhere. */
export interface Reading {
  /** ms UTC. */
  readonly at: number;
  /** What the gauge made of its level by the tank's chart, gross litres at the fuel's temperature. */
  readonly litres: number;
  /** Mean temperature of the fuel, °C; null where the gauge has none. */
  readonly tempC: number | null;
  /** Free water at the bottom, mm. */
  readonly waterMm: number | null;
}

export interface Drawn {
  readonly id: string;
  readonly hose: string;
  /** ms UTC: when fuel may have begun to flow, and when it had stopped. */
  readonly from: number;
  readonly to: number;
  /** By the meter, gross litres. */
  readonly litres: number;
}

/** A delivery as its bill of lading tells it. */
export interface Billed {
  readonly id: string;
  /** ms UTC, as written by a person: it may be hours off. */
  readonly at: number;
  /** Gross litres at the temperature of loading. */
  readonly litres: number;
  /** Net litres at the base temperature, where the bill has them. */
  readonly netLitres: number | null;
  /** Temperature of loading, °C. */
  readonly tempC: number | null;
}

/** A lying cylinder that holds so much: enough to tell how many litres a millimetre is at each level. */
export interface Body {
  readonly capacityLitres: number;
  readonly diameterMm: number;
}

export interface History {
  readonly body: Body;
  /** Expansion of the product per K at the base of 15 °C: diesel about 0.00083, petrol about 0.00124 (API MPMS 11.1 at 840 and 740 kg/m3). */
  readonly expansionPerK: number;
  /** In time's order. */
  readonly readings: readonly Reading[];
  readonly fills: readonly Drawn[];
  readonly billed: readonly Billed[];
  /** A level may be so old when it is read: readings that follow a draw more closely are left out, ms. */
  readonly gaugeLagMs: number;
}

export const HOUR_MS = 3_600_000;
export const DAY_MS = 86_400_000;
export const BASE_C = 15;

/** The part of a circle's area below a chord at `part` of the diameter (0 to 1). */
function areaPart(part: number): number {
  const angle = 2 * Math.acos(1 - 2 * part);
  return (angle - Math.sin(angle)) / (2 * Math.PI);
}

/** Level as a part of the diameter at which a lying cylinder is filled to `filled` (0 to 1), by halving to 1e-7. @throws RangeError outside. */
export function levelPart(filled: number): number {
  if (!(filled >= 0 && filled <= 1)) throw new RangeError(`a tank is filled from 0 to 1, not ${filled}`);
  let [low, high] = [0, 1];
  while (high - low > 1e-7) {
    const middle = (low + high) / 2;
    if (areaPart(middle) < filled) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Litres per millimetre at a level that is `part` of the diameter; at most the ends it is taken at a hundredth of the diameter, where a chord still is. */
export function litresPerMm(body: Body, part: number): number {
  const p = Math.min(0.99, Math.max(0.01, part));
  return ((body.capacityLitres / body.diameterMm) * 8 * Math.sqrt(p * (1 - p))) / Math.PI;
}
