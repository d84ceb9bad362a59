import type { Hears } from './compare.ts';
import type { DayBook } from './days.ts';
import { hear } from './heard.ts';
import type { Spot } from './spot.ts';
import type { Slots, Tally } from './tally.ts';

/** Adds up what it hears of one part of the week at one spot, and lets groups that were found there hear of it. */
export class Adds implements Hears {
  private readonly tally: Tally;
  private readonly days: DayBook;
  private readonly nobody: number;
  private slots: Slots = [];
  private minutes: Float64Array = new Float64Array(7);
  private part = 0;
  private heard: Spot['heard'] | null = null;

  constructor(tally: Tally, days: DayBook, nobody: number) {
    this.nobody = nobody;
    this.tally = tally;
    this.days = days;
  }

  at(spot: Spot, part: number): this {
    this.slots = this.tally.of(spot.product);
    this.minutes = spot.parts.minutes;
    this.part = part;
    return this;
  }

  /** While people move: cells that come are heard of here, pair by pair; for those that go the crowd must be asked. */
  tell(heard: Spot['heard'] | null): void {
    this.heard = heard;
  }

  differs(
    kind: number,
    wasWhy: number,
    isWhy: number,
    was: number,
    is: number,
    days: number,
    times: number,
    x: number,
    y: number,
  ): void {
    const minutes = minutesOn(this.minutes, this.part, this.days.weekdayCounts(days));
    if (minutes === 0) return;
    const slot = this.tally.add(this.slots, kind, wasWhy, isWhy, times, minutes);
    if (!this.heard || times < 0) return;
    const known = this.heard.get(slot);
    if (known) hear(known, this.part, x, y, was, is, this.nobody);
    else this.heard.delete(slot);
  }
}

/** Minutes of a part of the week on days of which so many are Mondays, Tuesdays, ... */
export function minutesOn(minutes: Float64Array, part: number, weekdays: readonly number[]): number {
  let sum = 0;
  for (let w = 0; w < 7; w++) sum += (minutes[part * 7 + w] as number) * (weekdays[w] as number);
  return sum;
}
