import { weekdayOf } from '../../units/index.ts';
import { type Days, pairsOf } from '../days.ts';
import { type MinuteBook, type Minutes, NONE, WHOLE } from './minutes.ts';

/** A part of the calendar: for each block of days, a set of minutes of the week by number. */
export type Region = Int32Array;

/** Days in blocks at whose edges alone any date begins or ends, so that within a block only the weekday tells days apart. */
export class Blocks {
  readonly minutes: MinuteBook;
  readonly spans: readonly (readonly [number, number])[];
  /** The minutes of the weekdays that each block has. */
  readonly weekdays: Region;
  readonly none: Region;
  private readonly known = new Map<string, Region>();

  /** Blocks from `first` to `last`, both included; every one of `dates` begins and ends at an edge of them. */
  constructor(minutes: MinuteBook, first: number, last: number, dates: Iterable<Days>) {
    this.minutes = minutes;
    const edges = new Set([first, last + 1]);
    for (const days of dates) {
      for (const [from, until] of pairsOf(days)) {
        if (from > first && from <= last) edges.add(from);
        if (until >= first && until < last) edges.add(until + 1);
      }
    }
    const at = [...edges].sort((a, b) => a - b);
    this.spans = at.slice(0, -1).map((from, i) => [from, (at[i + 1] as number) - 1] as const);
    this.none = new Int32Array(this.spans.length).fill(NONE);
    this.weekdays = Int32Array.from(this.spans, ([from, until]) => {
      const days = Array.from({ length: until - from + 1 }, (_, i) => weekdayOf(from + i));
      return days.reduce((n, w) => minutes.or(n, minutes.keep([w * 1440, (w + 1) * 1440])), NONE);
    });
  }

  /** All minutes of these days, which begin and end at edges. */
  on(days: Days): Region {
    const key = days.join();
    let region = this.known.get(key);
    if (!region) {
      region = this.none.slice();
      let block = 0;
      for (const [from, until] of pairsOf(days)) {
        // What is beyond the last block is neither less nor more.
        while ((this.spans[block]?.[1] as number) < from) block++;
        for (let b = block; (this.spans[b]?.[0] as number) <= until; b++) region[b] = WHOLE;
      }
      this.known.set(key, region);
    }
    return region;
  }

  and(a: Region, b: Region): Region {
    const out = new Int32Array(a.length);
    for (let i = 0; i < out.length; i++) out[i] = this.minutes.and(a[i] as number, b[i] as number);
    return out;
  }

  or(a: Region, b: Region): Region {
    const out = new Int32Array(a.length);
    for (let i = 0; i < out.length; i++) out[i] = this.minutes.or(a[i] as number, b[i] as number);
    return out;
  }

  /** Adds these minutes on these days to a region, in place. */
  add(to: Region, minutes: number, on: Region): void {
    for (let i = 0; i < to.length; i++)
      if (on[i] !== NONE) to[i] = this.minutes.or(to[i] as number, this.minutes.and(minutes, on[i] as number));
  }

  /** Whether every minute of `wanted`, which has none but on weekdays that occur, is in `has`. */
  covers(has: Region, wanted: Region): boolean {
    for (let i = 0; i < wanted.length; i++)
      if (this.minutes.and(has[i] as number, wanted[i] as number) !== wanted[i]) return false;
    return true;
  }

  /** The minutes of a block as days with stretches of minutes of the day, in the order of time. */
  *days(block: number, minutes: Minutes): Generator<{ day: number; from: number; to: number }> {
    const [first, last] = this.spans[block] as readonly [number, number];
    for (let day = first; day <= last; day++) {
      const start = weekdayOf(day) * 1440;
      for (let i = 0; i < minutes.length; i += 2) {
        const from = Math.max(minutes[i] as number, start);
        const to = Math.min(minutes[i + 1] as number, start + 1440);
        if (from < to) yield { day, from: from - start, to: to - start };
      }
    }
  }
}

/** Regions by number, each different one once, with what two of them are together kept. */
export class RegionBook {
  private readonly blocks: Blocks;
  private readonly regions: Region[] = [];
  private readonly tree: Branch = new Map();
  private readonly either: Map<number, number>[] = [];

  constructor(blocks: Blocks) {
    this.blocks = blocks;
  }

  keep(region: Region): number {
    let branch = this.tree;
    const last = region.length - 1;
    for (let i = 0; i < last; i++) {
      const minutes = region[i] as number;
      let next = branch.get(minutes) as Branch | undefined;
      if (!next) {
        next = new Map();
        branch.set(minutes, next);
      }
      branch = next;
    }
    let n = branch.get(region[last] as number) as number | undefined;
    if (n === undefined) {
      n = this.regions.length;
      this.regions.push(region);
      branch.set(region[last] as number, n);
    }
    return n;
  }

  of(n: number): Region {
    return this.regions[n] as Region;
  }

  or(a: number, b: number): number {
    if (a === b) return a;
    this.either[a] ??= new Map();
    const row = this.either[a] as Map<number, number>;
    let n = row.get(b);
    if (n === undefined) {
      n = this.keep(this.blocks.or(this.of(a), this.of(b)));
      row.set(b, n);
    }
    return n;
  }
}

/** By the minutes of a block: the next one's, or the number. */
type Branch = Map<number, Branch | number>;

export function isNone(region: Region): boolean {
  for (let i = 0; i < region.length; i++) if (region[i] !== NONE) return false;
  return true;
}
