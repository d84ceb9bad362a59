import { weekdayOf } from '../units/index.ts';

/** Days (since 1970-01-01) as ascending, disjoint, closed intervals, flat: [from, until, from, until, ...]. */
export type Days = readonly number[];

export const NO_DAYS: Days = [];

export function union(spans: readonly (readonly [number, number])[]): Days {
  const sorted = spans.filter(([a, b]) => a <= b).sort((x, y) => x[0] - y[0]);
  const out: number[] = [];
  for (const [from, until] of sorted) {
    const last = out.length - 1;
    if (out.length > 0 && from <= (out[last] as number) + 1) out[last] = Math.max(out[last] as number, until);
    else out.push(from, until);
  }
  return out;
}

export function intersect(a: Days, b: Days): Days {
  const out: number[] = [];
  let i = 0;
  let j = 0;
  while (i < a.length && j < b.length) {
    const from = Math.max(a[i] as number, b[j] as number);
    const until = Math.min(a[i + 1] as number, b[j + 1] as number);
    if (from <= until) out.push(from, until);
    if ((a[i + 1] as number) < (b[j + 1] as number)) i += 2;
    else j += 2;
  }
  return out;
}

/** The days of `a` that are not in `b`. */
export function without(a: Days, b: Days): Days {
  const out: number[] = [];
  let j = 0;
  for (let i = 0; i < a.length; i += 2) {
    let from = a[i] as number;
    const until = a[i + 1] as number;
    while (j < b.length && (b[j + 1] as number) < from) j += 2;
    for (let k = j; k < b.length && (b[k] as number) <= until; k += 2) {
      if ((b[k] as number) > from) out.push(from, (b[k] as number) - 1);
      from = Math.max(from, (b[k + 1] as number) + 1);
    }
    if (from <= until) out.push(from, until);
  }
  return out;
}

export function holds(days: Days, day: number): boolean {
  for (let i = 0; i < days.length; i += 2) {
    if (day < (days[i] as number)) return false;
    if (day <= (days[i + 1] as number)) return true;
  }
  return false;
}

/** How many Mondays, Tuesdays, ... Sundays are among the days. */
export function weekdayCounts(days: Days): number[] {
  const counts = [0, 0, 0, 0, 0, 0, 0];
  for (let i = 0; i < days.length; i += 2) {
    const from = days[i] as number;
    const length = (days[i + 1] as number) - from + 1;
    const first = weekdayOf(from);
    for (let w = 0; w < 7; w++) {
      const offset = (w - first + 7) % 7;
      if (length > offset) counts[w] = (counts[w] as number) + Math.floor((length - offset - 1) / 7) + 1;
    }
  }
  return counts;
}

/** Days by number, each different set once, with what is worked out of two of them kept. */
export class DayBook {
  readonly sets: Days[] = [];
  private readonly numbers = new Map<string, number>();
  /** By operation, then by the first, then by the second: small whole keys look up several times faster than large ones. */
  private readonly kept: Map<number, number>[][] = [[], [], []];
  private readonly weekdays: (readonly number[] | undefined)[] = [];

  keep(days: Days): number {
    const key = days.join();
    let n = this.numbers.get(key);
    if (n === undefined) {
      n = this.sets.length;
      this.sets.push(days);
      this.numbers.set(key, n);
    }
    return n;
  }

  of(n: number): Days {
    return this.sets[n] as Days;
  }

  private memo(op: number, a: number, b: number, make: (x: Days, y: Days) => Days): number {
    const byFirst = this.kept[op] as Map<number, number>[];
    let known = byFirst[a];
    if (!known) {
      known = new Map();
      byFirst[a] = known;
    }
    let n = known.get(b);
    if (n === undefined) {
      n = this.keep(make(this.of(a), this.of(b)));
      known.set(b, n);
    }
    return n;
  }

  intersect(a: number, b: number): number {
    return a === b ? a : this.memo(0, a, b, intersect);
  }

  without(a: number, b: number): number {
    return this.memo(1, a, b, without);
  }

  union(a: number, b: number): number {
    return a === b ? a : this.memo(2, a, b, (x, y) => union([...pairsOf(x), ...pairsOf(y)]));
  }

  weekdayCounts(n: number): readonly number[] {
    let counts = this.weekdays[n];
    if (!counts) {
      counts = weekdayCounts(this.of(n));
      this.weekdays[n] = counts;
    }
    return counts;
  }
}

export function* pairsOf(days: Days): Generator<[number, number]> {
  for (let i = 0; i < days.length; i += 2) yield [days[i] as number, days[i + 1] as number];
}
