import { WEEK_MINUTES } from '../fleet/index.ts';
import { DayBook } from './days.ts';

/**
 * A quantity over the week as a step function: from minute `from[i]` (ascending, the first is 0) until the next one, `room[i]` microlitres
 * may be drawn and `why[i]` says which rule leaves that (an index that the book's `reasons` resolve). SHUT means that nothing may.
 */
export interface Steps {
  readonly id: number;
  readonly from: readonly number[];
  readonly room: readonly number[];
  readonly why: readonly number[];
  /** The highest room at any time. */
  readonly top: number;
}

/** Below every useful quantity. */
export const SHUT = -1;

/** Why a step is as high as it is: an allowance with its rule, or a rule of hose or vehicle. */
export interface Reason {
  readonly rule: string;
  readonly allowance: string | null;
}

/**
 * Keeps every different step function once, so that two are equal exactly when their ids are; two reach tables that share a book can be
 * compared by id. Grows with the number of different functions, not with the roster.
 */
export class Book {
  private readonly known = new Map<string, Steps>();
  private readonly reasonAt = new Map<string, number>();
  readonly reasons: Reason[] = [];
  /** By the id of the first, then of the second: small whole keys look up several times faster than large ones. */
  private readonly minima: Map<number, Steps>[] = [];
  private readonly maxima: Map<number, Steps>[] = [];
  /** Sets of days, numbered. */
  readonly days = new DayBook();

  reason(rule: string, allowance: string | null): number {
    const key = `${rule} ${allowance ?? ''}`;
    let at = this.reasonAt.get(key);
    if (at === undefined) {
      at = this.reasons.length;
      this.reasons.push({ rule, allowance });
      this.reasonAt.set(key, at);
    }
    return at;
  }

  private readonly levels = new Map<number, Steps[]>();

  /** The same all week. */
  level(room: number, why: number): Steps {
    let byWhy = this.levels.get(room);
    if (!byWhy) {
      byWhy = [];
      this.levels.set(room, byWhy);
    }
    let steps = byWhy[why];
    if (!steps) {
      steps = this.keep([0], [room], [why]);
      byWhy[why] = steps;
    }
    return steps;
  }

  /** Joins neighbours that are alike and gives back the one copy. */
  keep(from: readonly number[], room: readonly number[], why: readonly number[]): Steps {
    const f: number[] = [];
    const r: number[] = [];
    const w: number[] = [];
    for (let i = 0; i < from.length; i++) {
      const same = r.length > 0 && r.at(-1) === room[i] && w.at(-1) === why[i];
      if (same) continue;
      f.push(from[i] as number);
      r.push(room[i] as number);
      w.push(why[i] as number);
    }
    const key = `${f.join()};${r.join()};${w.join()}`;
    let steps = this.known.get(key);
    if (!steps) {
      steps = { id: this.known.size, from: f, room: r, why: w, top: Math.max(...r) };
      this.known.set(key, steps);
    }
    return steps;
  }

  /** The lower of two at every minute; `a` where they are equal, so that the earlier rule decides. */
  least(a: Steps, b: Steps): Steps {
    return a === b ? a : this.remembered(this.minima, a, b, lower);
  }

  /** The higher of two at every minute; `a` where they are equal. */
  most(a: Steps, b: Steps): Steps {
    return a === b ? a : this.remembered(this.maxima, a, b, higher);
  }

  private remembered(
    memo: Map<number, Steps>[],
    a: Steps,
    b: Steps,
    takesFirst: (x: number, y: number) => boolean,
  ): Steps {
    let row = memo[a.id];
    if (!row) {
      row = new Map();
      memo[a.id] = row;
    }
    let steps = row.get(b.id);
    if (!steps) {
      steps = this.merge(a, b, takesFirst);
      row.set(b.id, steps);
    }
    return steps;
  }

  private merge(a: Steps, b: Steps, takesFirst: (x: number, y: number) => boolean): Steps {
    const from: number[] = [];
    const room: number[] = [];
    const why: number[] = [];
    walk(a, b, (start, i, j) => {
      const first = takesFirst(a.room[i] as number, b.room[j] as number);
      from.push(start);
      room.push((first ? a.room[i] : b.room[j]) as number);
      why.push((first ? a.why[i] : b.why[j]) as number);
    });
    return this.keep(from, room, why);
  }
}

const lower = (x: number, y: number) => x <= y;
const higher = (x: number, y: number) => x >= y;

/** Visits every stretch on which both are constant: [start, end) with the index in each. */
export function walk(a: Steps, b: Steps, visit: (start: number, i: number, j: number, end: number) => void): void {
  let i = 0;
  let j = 0;
  let start = 0;
  while (start < WEEK_MINUTES) {
    const nextA = a.from[i + 1] ?? WEEK_MINUTES;
    const nextB = b.from[j + 1] ?? WEEK_MINUTES;
    const end = Math.min(nextA, nextB);
    visit(start, i, j, end);
    if (nextA === end) i++;
    if (nextB === end) j++;
    start = end;
  }
}

/** The index of the stretch that holds a minute of the week, 0..10079. */
export function stretchAt(steps: Steps, minute: number): number {
  let low = 0;
  let high = steps.from.length - 1;
  while (low < high) {
    const mid = (low + high + 1) >> 1;
    if ((steps.from[mid] as number) <= minute) low = mid;
    else high = mid - 1;
  }
  return low;
}
