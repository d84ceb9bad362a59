/** Round steps for an axis from 0 to `most` with at most `count` of them: 1, 2 or 5 times a power of ten. */
export function ticks(most: number, count = 5): number[] {
  if (!(most > 0) || !Number.isFinite(most)) return [0];
  const rough = most / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((m) => m * power).find((s) => s >= rough * (1 - 1e-9)) ?? 10 * power;
  const out: number[] = [];
  for (let i = 0; i * step <= most * (1 + 1e-9); i++) out.push(Number((i * step).toPrecision(12)));
  return out;
}
