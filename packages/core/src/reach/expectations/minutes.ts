import { stretchesOf, WEEK_MINUTES, type Window } from '../../fleet/index.ts';
import type { Steps } from '../steps.ts';

/** Minutes of the week as ascending, disjoint, half-open stretches, flat: [from, to, from, to, ...]. */
export type Minutes = readonly number[];

/** No minute, and every minute, by number in every book. */
export const NONE = 0;
export const WHOLE = 1;

/** Sets of minutes by number, each different one once, with what is worked out of two of them kept. */
export class MinuteBook {
  private readonly sets: Minutes[] = [];
  private readonly numbers = new Map<string, number>();
  private readonly both: Map<number, number>[] = [];
  private readonly either: Map<number, number>[] = [];
  private readonly letting = new Map<number, number[]>();

  constructor() {
    this.keep([]);
    this.keep([0, WEEK_MINUTES]);
  }

  keep(minutes: Minutes): number {
    const key = minutes.join();
    let n = this.numbers.get(key);
    if (n === undefined) {
      n = this.sets.length;
      this.sets.push(minutes);
      this.numbers.set(key, n);
    }
    return n;
  }

  of(n: number): Minutes {
    return this.sets[n] as Minutes;
  }

  windows(times: readonly Window[] | null): number {
    return this.keep(stretchesOf(times).flatMap((s) => [s.from, s.to]));
  }

  /** The minutes at which at least `least` microlitres may be drawn. */
  where(steps: Steps, least: number): number {
    if (steps.top < least) return NONE;
    let known = this.letting.get(least);
    if (!known) {
      known = [];
      this.letting.set(least, known);
    }
    let n = known[steps.id];
    if (n === undefined) {
      const out: number[] = [];
      for (const [i, from] of steps.from.entries()) {
        if ((steps.room[i] as number) < least) continue;
        const to = steps.from[i + 1] ?? WEEK_MINUTES;
        if (out.at(-1) === from) out[out.length - 1] = to;
        else out.push(from, to);
      }
      n = this.keep(out);
      known[steps.id] = n;
    }
    return n;
  }

  and(a: number, b: number): number {
    if (a === b || b === WHOLE) return a;
    if (a === WHOLE) return b;
    if (a === NONE || b === NONE) return NONE;
    return this.remembered(this.both, a, b, overlap);
  }

  or(a: number, b: number): number {
    if (a === b || b === NONE) return a;
    if (a === NONE) return b;
    if (a === WHOLE || b === WHOLE) return WHOLE;
    return this.remembered(this.either, a, b, joined);
  }

  private remembered(memo: Map<number, number>[], a: number, b: number, make: (x: Minutes, y: Minutes) => Minutes) {
    const [low, high] = a < b ? [a, b] : [b, a];
    let row = memo[low];
    if (!row) {
      row = new Map();
      memo[low] = row;
    }
    let n = row.get(high);
    if (n === undefined) {
      n = this.keep(make(this.of(low), this.of(high)));
      row.set(high, n);
    }
    return n;
  }
}

function overlap(a: Minutes, b: Minutes): Minutes {
  const out: number[] = [];
  let i = 0;
  let j = 0;
  while (i < a.length && j < b.length) {
    const from = Math.max(a[i] as number, b[j] as number);
    const to = Math.min(a[i + 1] as number, b[j + 1] as number);
    if (from < to) out.push(from, to);
    if ((a[i + 1] as number) < (b[j + 1] as number)) i += 2;
    else j += 2;
  }
  return out;
}

function joined(a: Minutes, b: Minutes): Minutes {
  const spans: [number, number][] = [];
  for (const list of [a, b])
    for (let i = 0; i < list.length; i += 2) spans.push([list[i] as number, list[i + 1] as number]);
  spans.sort((x, y) => x[0] - y[0]);
  const out: number[] = [];
  for (const [from, to] of spans) {
    const last = out.length - 1;
    if (out.length > 0 && from <= (out[last] as number)) out[last] = Math.max(out[last] as number, to);
    else out.push(from, to);
  }
  return out;
}

/** The minutes of `a` that are not in `b`. */
export function lacking(a: Minutes, b: Minutes): Minutes {
  const gaps: number[] = [];
  let at = 0;
  for (let i = 0; i < b.length; i += 2) {
    if ((b[i] as number) > at) gaps.push(at, b[i] as number);
    at = b[i + 1] as number;
  }
  if (at < WEEK_MINUTES) gaps.push(at, WEEK_MINUTES);
  return overlap(a, gaps);
}
