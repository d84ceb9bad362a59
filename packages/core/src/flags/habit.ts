import { median, medianAbsoluteDeviation } from 'simple-statistics';

/**
 * What is usual, told by the median and the median absolute deviation, which up to half of the values may spoil without moving it (Hampel,
 * 'The influence curve and its role in robust estimation', 1974; from memory).
 */
export interface Habit {
  readonly middle: number;
  /** Comparable to a standard deviation for normal values: 1.4826 x the median absolute deviation. */
  readonly spread: number;
  readonly count: number;
}

/** Of one or more values; throws RangeError on none. */
export function habitOf(values: readonly number[]): Habit {
  if (values.length === 0) throw new RangeError('a habit needs at least one value');
  const list = [...values];
  return { middle: median(list), spread: 1.4826 * medianAbsoluteDeviation(list), count: values.length };
}

/**
 * How many spreads a value lies from the habit. The spread is taken as at least `floor` (a part of the middle), since a handful of equal
 * values would make everything else infinitely odd.
 */
export const oddness = (habit: Habit, value: number, floor = 0.05): number =>
  (value - habit.middle) / Math.max(habit.spread, floor * Math.abs(habit.middle), Number.MIN_VALUE);
