/** A lying cylinder with flat ends; level and volume by its own geometry. Lengths in mm, volumes in uL (1 mm^3 = 1 uL). */
export interface TankShape {
  readonly id: string;
  readonly capacityUl: number;
  readonly diameterMm: number;
}

export interface TankPhysics {
  readonly shape: TankShape;
  ul: number;
  waterMm: number;
  /** Mean temperature of the fuel, °C. */
  tempC: number;
  lost: boolean;
}

/** The part of a circle's area below a chord at `part` of the diameter (0 to 1). */
export function partBelow(part: number): number {
  if (part <= 0) return 0;
  if (part >= 1) return 1;
  const angle = 2 * Math.acos(1 - 2 * part);
  return (angle - Math.sin(angle)) / (2 * Math.PI);
}

/** Millimetres from the bottom at which the tank holds `ul`; halving finds it to a thousandth of a millimetre. */
export function levelOf(shape: TankShape, ul: number): number {
  const part = ul / shape.capacityUl;
  let low = 0;
  let high = 1;
  while ((high - low) * shape.diameterMm > 0.001) {
    const mid = (low + high) / 2;
    if (partBelow(mid) < part) low = mid;
    else high = mid;
  }
  return ((low + high) / 2) * shape.diameterMm;
}

/** The ground keeps a buried tank's fuel near its own temperature; it swings little over a day. */
export const tempAt = (tank: TankPhysics, at: number): number =>
  tank.tempC + 0.4 * Math.sin((2 * Math.PI * (at % 86_400_000)) / 86_400_000);
