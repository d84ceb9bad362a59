import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';

/** What a person wants of the waves: the first one's sites, and how long each wave must run well before the next. */
export interface WaveWish {
  readonly first: readonly string[];
  /** Minutes, 1 to 10,080 (a week). */
  readonly minutes: number;
}

/** Each wave is at most so many times as large as all before it together: common practice, no source. */
const GROWTH = 3;

/**
 * Which sites are told in which wave; without a wish all at once. After the first wave each is at most three times all before it.
 * Errors: FW-350 a first wave without sites, or of sites that the release has not.
 */
export function planWaves(sites: readonly string[], wish: WaveWish | undefined): Result<string[][], Problem> {
  if (!wish) return ok([[...sites]]);
  const first = [...new Set(wish.first)];
  const unknown = first.filter((s) => !sites.includes(s));
  if (first.length === 0 || unknown.length > 0)
    return err(problem('FW-350', { found: unknown.join(', ') || 'no site', expected: sites.join(', ') }));
  const waves = [first];
  let rest = sites.filter((s) => !first.includes(s));
  while (rest.length > 0) {
    const told = sites.length - rest.length;
    waves.push(rest.slice(0, told * GROWTH));
    rest = rest.slice(told * GROWTH);
  }
  return ok(waves);
}
