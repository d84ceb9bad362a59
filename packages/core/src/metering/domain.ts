import { err, type Problem, problem } from '../errors/index.ts';

/** A refusal of a number outside the range in which a method holds: FW-801 with what was found and what is expected. */
export function outside(
  field: string,
  found: number,
  expected: string,
): { readonly ok: false; readonly error: Problem } {
  return err(problem('FW-801', { at: { field }, found: String(found), expected }));
}

/** True when `value` is a number from `low` to `high`, both included. */
export const within = (value: number, low: number, high: number): boolean => value >= low && value <= high;
