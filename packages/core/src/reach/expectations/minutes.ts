import { stretchesOf, WEEK_MINUTES, type Window } from '../../fleet/index.ts';
import type { Steps } from '../steps.ts';

/** Minutes of the week as ascending half-open stretches that stand apart, flat: [from, to, from, to, ...]. */
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
    let row = memo[a];
    if (!row) {
      row = new Map();
      memo[a] = row;
    }
    let n = row.get(b);
    if (n === undefined) {
      n = this.keep(make(this.of(a), this.of(b)));
      row.set(b, n);
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

/** The minutes of the week that are not in a set: as they stand apart, an edge there is one here, but for those of the week. */
function outside(a: Minutes): Minutes {
  const edges = a[0] === 0 ? a.slice(1) : [0, ...a];
  return edges.at(-1) === WEEK_MINUTES ? edges.slice(0, -1) : [...edges, WEEK_MINUTES];
}

const joined = (a: Minutes, b: Minutes): Minutes => outside(overlap(outside(a), outside(b)));

/** The minutes of `a` that are not in `b`. */
export const lacking = (a: Minutes, b: Minutes): Minutes => overlap(a, outside(b));

export function holds(minutes: Minutes, minute: number): boolean {
  for (let i = 0; i < minutes.length; i += 2)
    if (minute >= (minutes[i] as number) && minute < (minutes[i + 1] as number)) return true;
  return false;
}
