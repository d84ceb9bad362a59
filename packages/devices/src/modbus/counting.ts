import { beginCount, type CounterDoubt, type CounterSetup, countOn, mostPulses } from '@fillwright/core/metering';

/**
 * A unit's counter as a count that never wraps and never falls. `offset` is how far the count stands from the register, modulo the
 * register's turn; kept over a restart of the box, it tells what the counter did meanwhile.
 */
export interface Counting {
  readonly setup: CounterSetup;
  readonly raw: number;
  readonly count: number;
}

export const offsetOf = (c: Counting): number => modulo(c.count - c.raw, 2 ** c.setup.bits);

const modulo = (n: number, turn: number): number => ((n % turn) + turn) % turn;

export interface Resumed {
  readonly counting: Counting;
  /** How far the register stands from where it must, when that is more than could have flowed. Not counted. */
  readonly unexplained?: number;
}

/**
 * Takes a counter up that was not watched for a while. `last`: the count that is on the record, and the offset where one was kept.
 * `openMs`: for how long at most the hose can have been open unseen. Throws a RangeError for a reading that the counter cannot give.
 */
export function resume(
  setup: CounterSetup,
  raw: number,
  last: { readonly count: number; readonly offset: number | undefined } | undefined,
  openMs: number,
): Resumed {
  const begun = beginCount(setup, raw);
  if (!begun.ok) throw new RangeError(`${raw} is no reading of a counter of ${setup.bits} bits`);
  if (last === undefined) return { counting: { setup, raw, count: raw } };
  if (last.offset === undefined) return { counting: { setup, raw, count: last.count } };
  const forward = modulo(raw + last.offset - last.count, 2 ** setup.bits);
  if (forward <= mostPulses(setup, openMs)) return { counting: { setup, raw, count: last.count + forward } };
  return { counting: { setup, raw, count: last.count }, unexplained: forward };
}

/** The next reading of a counter that is being watched; in doubt nothing is added. `elapsedMs` as for `countOn`, 0 or more. */
export function goOn(c: Counting, raw: number, elapsedMs: number): { counting: Counting; doubt?: CounterDoubt } {
  const next = countOn(c.setup, { raw: c.raw, total: c.count }, raw, elapsedMs);
  if (!next.ok) throw new RangeError(`${raw} is no reading of a counter of ${c.setup.bits} bits`);
  const { state, doubt } = next.value;
  const counting = { setup: c.setup, raw: state.raw, count: state.total };
  return doubt === undefined ? { counting } : { counting, doubt };
}
