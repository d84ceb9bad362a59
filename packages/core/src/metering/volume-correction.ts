import { ok, type Problem, type Result } from '../errors/index.ts';
import { divideRounded, type Microlitres } from '../units/index.ts';
import { CONSTANTS, type Commodity, DENSITY_RANGE, groupOf, type ProductGroup } from './density.ts';
import { outside, within } from './domain.ts';
import { fahrenheitOfCelsius, scale68 } from './temperature-scale.ts';

/**
 * Correction of a petroleum liquid's volume to 60 °F or 15 °C: API MPMS 11.1-2004 with its 2007 addendum (ASTM D1250, IP 200).
 * Range of the method: -58 to 302 °F (-50 to 150 °C), 0 to 1500 psi gauge, densities as in DENSITY_RANGE. Outside it is an error.
 * Nothing is rounded on the way; results are rounded to five decimals, ties to even, where the field is named `rounded`.
 */
export interface Correction {
  /** Volume at 60 °F over volume at the temperature, both at no pressure. */
  readonly ctl: number;
  /** The same for pressure; 1 at or below atmospheric pressure. */
  readonly cpl: number;
  /** ctl x cpl to five decimals: what a volume is multiplied by. */
  readonly rounded: number;
  /** Thermal expansion at 60 °F, per °F. */
  readonly alpha60: number;
  /** Density at 60 °F on the scale of 1968, kg/m3. */
  readonly densityShifted: number;
  readonly group: ProductGroup;
}

/** 60 °F on the scale of 1968, and its distance from 60. */
const BASE_68 = 60.0068749;
const DELTA_60 = 0.01374979547;

/** To `places` decimals, ties to even (API MPMS 11.1.5.4). */
export function roundHalfEven(value: number, places: number): number {
  const scaled = value * 10 ** places;
  const floor = Math.floor(scaled);
  const rest = scaled - floor;
  const tie = Math.abs(rest - 0.5) < 1e-9;
  const whole = tie ? floor + (floor % 2 === 0 ? 0 : 1) : Math.round(scaled);
  return whole / 10 ** places;
}

/** exp(-alpha dt (1 + 0.8 alpha (dt + delta))), dt counted from 60 °F; both on the scale of 1968. Per °F and °F. */
export function expansion(alpha60: number, tempF: number): number {
  const dt = scale68(tempF) - BASE_68;
  return Math.exp(-alpha60 * dt * (1 + 0.8 * alpha60 * (dt + DELTA_60)));
}

function shiftedDensity(density: number, [k0, k1, k2]: readonly [number, number, number]): number {
  const a = (DELTA_60 / 2) * ((k0 / density + k1) / density + k2);
  const b = (2 * k0 + k1 * density) / (k0 + (k1 + k2 * density) * density);
  return density * (1 + Math.expm1(a * (1 + 0.8 * a)) / (1 + a * (1 + 1.6 * a) * b));
}

/**
 * The factor to 60 °F. `density60`: kg/m3 at 60 °F. `tempF`: -58 to 302. `pressurePsig`: up to 1500; below 0 counts as 0, as the
 * standard has it. @returns FW-801 outside the range.
 */
export function correctTo60F(
  commodity: Commodity,
  density60: number,
  tempF: number,
  pressurePsig = 0,
): Result<Correction, Problem> {
  const [low, high] = DENSITY_RANGE[commodity];
  if (!within(density60, low, high)) return outside('density at 60 °F', density60, `${low} to ${high} kg/m3`);
  if (!within(tempF, -58, 302)) return outside('temperature', tempF, '-58 to 302 °F');
  if (!(pressurePsig <= 1500)) return outside('pressure', pressurePsig, '0 to 1500 psi gauge');
  const group = groupOf(commodity, density60);
  const constants = CONSTANTS[group];
  const densityShifted = shiftedDensity(density60, constants);
  const [k0, k1, k2] = constants;
  const alpha60 = (k0 / densityShifted + k1) / densityShifted + k2;
  const ctl = expansion(alpha60, tempF);
  const shifted = scale68(tempF);
  const compressibility = Math.exp(
    -1.9947 + 0.00013427 * shifted + (793_920 + 2326 * shifted) / (densityShifted * densityShifted),
  );
  const cpl = 1 / (1 - 1e-5 * compressibility * Math.max(0, pressurePsig));
  return ok({ ctl, cpl, rounded: roundHalfEven(ctl * cpl, 5), alpha60, densityShifted, group });
}

/**
 * The density at 60 °F of a liquid that has `observed` kg/m3 at `tempF` (its true density there: no correction for a glass
 * hydrometer), at no pressure. Solved to 1e-9 kg/m3. @returns FW-801 outside the range.
 */
export function densityAt60F(commodity: Commodity, observed: number, tempF: number): Result<number, Problem> {
  let [low, high] = DENSITY_RANGE[commodity];
  const range = `a density that is ${low} to ${high} kg/m3 at 60 °F`;
  // Density at the temperature grows with density at 60 °F, so halving the range finds the one that fits.
  for (const [edge, sign] of [
    [low, 1],
    [high, -1],
  ] as const) {
    const at = correctTo60F(commodity, edge, tempF);
    if (!at.ok) return at;
    if (!(sign * (observed - edge * at.value.ctl) >= 0)) return outside('observed density', observed, range);
  }
  while (high - low > 1e-9) {
    const middle = (low + high) / 2;
    const at = correctTo60F(commodity, middle, tempF);
    if (!at.ok) return at;
    if (middle * at.value.ctl < observed) low = middle;
    else high = middle;
    if (middle === low && middle === high) break;
  }
  return ok((low + high) / 2);
}

/**
 * The factor to 15 °C by way of 60 °F, as the 2004 edition does it. `density15`: kg/m3 at 15 °C. `tempC`: -50 to 150.
 * @returns FW-801 outside the range.
 */
export function correctTo15C(
  commodity: Commodity,
  density15: number,
  tempC: number,
): Result<{ readonly ctl: number; readonly rounded: number; readonly density60: number }, Problem> {
  if (!within(tempC, -50, 150)) return outside('temperature', tempC, '-50 to 150 °C');
  const density60 = densityAt60F(commodity, density15, 59);
  if (!density60.ok) return density60;
  const at = correctTo60F(commodity, density60.value, fahrenheitOfCelsius(tempC));
  if (!at.ok) return at;
  const base = correctTo60F(commodity, density60.value, 59);
  if (!base.ok) return base;
  const ctl = at.value.ctl / base.value.ctl;
  return ok({ ctl, rounded: roundHalfEven(ctl, 5), density60: density60.value });
}

/** A volume times a five-decimal factor, rounded half away from zero to the microlitre; exact whole-number arithmetic. */
export function correctedVolume(volume: Microlitres, factor: number): Microlitres {
  return Number(divideRounded(BigInt(volume) * BigInt(Math.round(factor * 100_000)), 100_000n));
}
