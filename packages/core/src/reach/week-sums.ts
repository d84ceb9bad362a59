import { WEEK_MINUTES } from '../fleet/index.ts';
import { minutesOn } from './adds.ts';
import type { Hears } from './compare.ts';
import type { DayBook } from './days.ts';
import type { Parts } from './parts.ts';
import { type ChangeKind, KINDS, type Slots, type Tally } from './tally.ts';

/** Minutes of the week [from, to) in each of which as many points change so, over all days and hoses looked at. */
export interface ChangedStretch extends Readonly<Record<ChangeKind, number>> {
  readonly from: number;
  readonly to: number;
}

/** Sums by product, as steps: for each kind what is added from one minute of the week on. */
export type Weeks = Map<string, Float64Array[]>;

/** Adds up what it hears of one part of the week, by group and by day of the week. */
export class Sums implements Hears {
  private readonly slots: Slots;
  private readonly tally: Tally;
  private readonly days: DayBook;
  private parts: Parts | null = null;
  private part = 0;
  /** Points in each minute of the part, by kind and day of the week. */
  private readonly sums = new Float64Array(KINDS.length * 7);
  /** Points of all parts so far, by kind. */
  readonly points = KINDS.map(() => 0);

  constructor(slots: Slots, tally: Tally, days: DayBook) {
    this.slots = slots;
    this.tally = tally;
    this.days = days;
  }

  at(parts: Parts, part: number): void {
    this.parts = parts;
    this.part = part;
    this.sums.fill(0);
  }

  differs(kind: number, wasWhy: number, isWhy: number, _was: number, _is: number, days: number, times: number): void {
    const counts = this.days.weekdayCounts(days);
    const minutes = minutesOn((this.parts as Parts).minutes, this.part, counts);
    if (minutes === 0) return;
    this.tally.add(this.slots, kind, wasWhy, isWhy, times, minutes);
    this.points[kind] = (this.points[kind] as number) + times * minutes;
    for (let w = 0; w < 7; w++)
      this.sums[kind * 7 + w] = (this.sums[kind * 7 + w] as number) + times * (counts[w] as number);
  }

  /** Adds the sums to the minutes of the part: as steps, up where a stretch begins and down where it ends. */
  spread(weeks: Weeks, product: string): void {
    if (this.sums.every((n) => n === 0)) return;
    let week = weeks.get(product);
    if (!week) {
      week = KINDS.map(() => new Float64Array(WEEK_MINUTES + 1));
      weeks.set(product, week);
    }
    for (const { from, to } of (this.parts as Parts).stretches[this.part] ?? []) {
      for (let w = Math.floor(from / 1440); w * 1440 < to; w++) {
        const [start, end] = [Math.max(from, w * 1440), Math.min(to, (w + 1) * 1440)];
        for (const [kind, steps] of week.entries()) {
          const n = this.sums[kind * 7 + w] as number;
          steps[start] = (steps[start] as number) + n;
          steps[end] = (steps[end] as number) - n;
        }
      }
    }
  }
}

/** Sums by stretch out of steps by minute. */
export function stretchesOf(steps: readonly Float64Array[]): ChangedStretch[] {
  const now = KINDS.map(() => 0);
  const found: (ChangedStretch & { to: number })[] = [];
  for (let minute = 0; minute < WEEK_MINUTES; minute++) {
    for (const [kind, step] of steps.entries()) now[kind] = (now[kind] as number) + (step[minute] as number);
    const [gained, lost, raised, lowered] = now as [number, number, number, number];
    const last = found.at(-1);
    if (last?.gained === gained && last.lost === lost && last.raised === raised && last.lowered === lowered)
      last.to = minute + 1;
    else found.push({ from: minute, to: minute + 1, gained, lost, raised, lowered });
  }
  return found;
}
