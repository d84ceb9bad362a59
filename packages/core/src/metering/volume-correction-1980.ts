import { ok, type Problem, type Result } from '../errors/index.ts';
import { outside, within } from './domain.ts';

/**
 * The form of the 1980 edition (Tables 6B and 54B), for comparison with papers that were made by it: alpha at the base
 * temperature, no shift of the temperature scale. Refined products only. The rounding of the printed tables' inputs is not repeated.
 */
function form(alpha: number, dt: number): number {
  // Both tables round alpha to seven decimals (from memory; the check values agree with it).
  const rounded = Math.round(alpha * 1e7) / 1e7;
  return Math.exp(-rounded * dt * (1 + 0.8 * rounded * dt));
}

/** Table 6B: to 60 °F. `density60` in kg/m3, 653 to 1075; `tempF` 0 to 200 (from memory). */
export function factor6B(density60: number, tempF: number): Result<number, Problem> {
  if (!within(density60, 653, 1075)) return outside('density at 60 °F', density60, '653 to 1075 kg/m3');
  if (!within(tempF, 0, 200)) return outside('temperature', tempF, '0 to 200 °F');
  const d = density60;
  let alpha = 103.872 / (d * d) + 0.2701 / d;
  if (d < 770.352) alpha = 192.4571 / (d * d) + 0.2438 / d;
  else if (d < 787.5195) alpha = 1489.067 / (d * d) - 0.0018684;
  else if (d < 838.3127) alpha = 330.301 / (d * d);
  return ok(form(alpha, tempF - 60));
}

/**
 * Table 54B: to 15 °C. `density15` in kg/m3, 653 to 1075; `tempC` -18 to 95 (from memory). The upper edge of the transition is
 * 787.5, where it meets the jet formula; at 778, which some programs have, the two differ by 8 %.
 */
export function factor54B(density15: number, tempC: number): Result<number, Problem> {
  if (!within(density15, 653, 1075)) return outside('density at 15 °C', density15, '653 to 1075 kg/m3');
  if (!within(tempC, -18, 95)) return outside('temperature', tempC, '-18 to 95 °C');
  const d = density15;
  let alpha = 186.9696 / (d * d) + 0.4862 / d;
  if (d < 770.5) alpha = 346.4228 / (d * d) + 0.4388 / d;
  else if (d < 787.5) alpha = 2680.3206 / (d * d) - 0.00336312;
  else if (d < 838.5) alpha = 594.5418 / (d * d);
  return ok(form(alpha, tempC - 15));
}
