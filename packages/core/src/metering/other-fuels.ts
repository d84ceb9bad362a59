import { err, ok, type Problem, problem, type Result } from '../errors/index.ts';
import { outside, within } from './domain.ts';
import { expansion, roundHalfEven } from './volume-correction.ts';

/** Factors to 60 °F for fuels that the petroleum method does not cover. `rounded` has five decimals. */
export interface Factor {
  readonly factor: number;
  readonly rounded: number;
}

const factorOf = (factor: number): Result<Factor, Problem> => ok({ factor, rounded: roundHalfEven(factor, 5) });

/**
 * The rules of the US renewable-fuel programme state straight lines without a range. We use them from -40 to 122 °F, the range that
 * API MPMS 11.3.4 has for ethanol and its blends; that choice is ours.
 */
const LOW_F = -40;
const HIGH_F = 122;

function straight(tempF: number, slope: number, intercept: number): Result<Factor, Problem> {
  if (!within(tempF, LOW_F, HIGH_F)) return outside('temperature', tempF, `${LOW_F} to ${HIGH_F} °F`);
  return factorOf(slope * tempF + intercept);
}

/**
 * Fuel ethanol, denatured: -0.0006301 T + 1.0378 (40 CFR 80.1426(f)(8); the intercept from memory). At 60 °F it gives
 * 0.999994 and not 1: that is how the rule is written.
 */
export const fuelEthanolTo60F = (tempF: number): Result<Factor, Problem> => straight(tempF, -0.000_630_1, 1.0378);

/** Biodiesel without petroleum diesel in it: -0.00045767 T + 1.02746025 (40 CFR 80.1426(f)(8); from memory). */
export const biodieselTo60F = (tempF: number): Result<Factor, Problem> => straight(tempF, -0.000_457_67, 1.027_460_25);

/**
 * A product with a known expansion, per °F at 60 °F: the special application of API MPMS 11.1-2004, which takes 230e-6 to 930e-6.
 * `tempF`: -58 to 302.
 */
export function specialTo60F(alpha60: number, tempF: number): Result<Factor, Problem> {
  if (!within(alpha60, 230e-6, 930e-6)) return outside('expansion', alpha60, '0.000230 to 0.000930 per °F');
  if (!within(tempF, -58, 302)) return outside('temperature', tempF, '-58 to 302 °F');
  return factorOf(expansion(alpha60, tempF));
}

/** Expansion of gasoline with 10 % ethanol, per °F at 60 °F (API MPMS 11.1.2.5.13, as a public program cites it). */
export const ALPHA_E10 = 714.34e-6;

/**
 * Gasoline with ethanol, by volume per cent. Only 10 (9 to 10.5, the usual blend) and 95 to 100 (fuel ethanol) are known here:
 * anything between needs API MPMS 11.3.4, and 0 is a petroleum product with a density. @returns FW-801 for the others.
 */
export function ethanolBlendTo60F(ethanolPercent: number, tempF: number): Result<Factor, Problem> {
  if (within(ethanolPercent, 9, 10.5)) return specialTo60F(ALPHA_E10, tempF);
  if (within(ethanolPercent, 95, 100)) return fuelEthanolTo60F(tempF);
  return err(
    problem('FW-801', {
      at: { field: 'ethanol' },
      found: `${ethanolPercent} %`,
      expected: '9 to 10.5 %, or 95 to 100 %',
      mend: 'Enter a factor from the supplier’s paper (API MPMS 11.3.4), or account for this product uncorrected.',
    }),
  );
}
