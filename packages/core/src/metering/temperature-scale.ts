/** Coefficients of the difference between ITS-90 and IPTS-68, API MPMS 11.1.5.3 (2004). */
const SCALE = [-0.148759, -0.267408, 1.08076, 1.269056, -4.089591, -1.871251, 7.438081, -3.536296];

export const celsiusOfFahrenheit = (tempF: number): number => (tempF - 32) / 1.8;
export const fahrenheitOfCelsius = (tempC: number): number => 1.8 * tempC + 32;

/** A temperature on today's scale (ITS-90) to the scale of 1968 on which the correction's data stand; both in °F. */
export function scale68(tempF: number): number {
  const t = celsiusOfFahrenheit(tempF);
  const tau = t / 630;
  const shift = SCALE.reduceRight((sum, a) => (sum + a) * tau, 0);
  return fahrenheitOfCelsius(t - shift);
}
