import type { Hears } from './compare.ts';
import type { DayBook } from './days.ts';
import type { Spot } from './spot.ts';
import type { Slots, Tally } from './tally.ts';

/** Adds up what it hears of one part of the week at one spot. */
export class Adds implements Hears {
  private readonly tally: Tally;
  private readonly days: DayBook;
  private slots: Slots = [];
  private minutes: Float64Array = new Float64Array(7);
  private part = 0;

  constructor(tally: Tally, days: DayBook) {
    this.tally = tally;
    this.days = days;
  }

  at(spot: Spot, part: number): this {
    this.slots = this.tally.of(spot.product);
    this.minutes = spot.parts.minutes;
    this.part = part;
    return this;
  }

  differs(kind: number, wasWhy: number, isWhy: number, _was: number, _is: number, days: number, times: number): void {
    const minutes = minutesOn(this.minutes, this.part, this.days.weekdayCounts(days));
    if (minutes > 0) this.tally.add(this.slots, kind, wasWhy, isWhy, times, minutes);
  }
}

/** Minutes of a part of the week on days of which so many are Mondays, Tuesdays, ... */
export function minutesOn(minutes: Float64Array, part: number, weekdays: readonly number[]): number {
  let sum = 0;
  for (let w = 0; w < 7; w++) sum += (minutes[part * 7 + w] as number) * (weekdays[w] as number);
  return sum;
}
