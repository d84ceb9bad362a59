import type { Difference, Progress } from './change.ts';
import { LiveDifference } from './live.ts';
import type { Table } from './table.ts';

/**
 * Everything that changes between two tables of one book and one horizon: complete and counted. A generator, so that whoever drives it can
 * show how far it is, and stop it; it returns the difference.
 */
export function* differenceOf(before: Table, after: Table): Generator<Progress, Difference> {
  return (yield* LiveDifference.begin(before, after)).difference();
}
