import { LEAST_USEFUL } from '../decide/index.ts';
import type { CoupleGroup } from './couples.ts';
import type { Cells, Crowd } from './crowd.ts';
import type { DayBook } from './days.ts';
import type { Ground, Spot } from './spot.ts';
import { MAY, PARTY, PRESENT, type Ways } from './ways.ts';

/** Hears of what differs for a pair of cells x and y in one part of the week: over which days, by number in the book. */
export interface Hears {
  differs(
    kind: number,
    whyBefore: number,
    whyAfter: number,
    before: number,
    after: number,
    days: number,
    times: number,
    x: number,
    y: number,
  ): void;
}

const GAINED = 0;
const LOST = 1;
const RAISED = 2;
const LOWERED = 3;

/**
 * Compares what drivers and vehicles may draw together before and after. Millions of pairs, and the first thousands before the engine has
 * translated them well: so no list is taken apart here, which would make objects until then.
 */
export class Compare {
  private readonly ways: Ways;
  private readonly days: DayBook;
  private readonly never: number;
  /** The cell of whoever is not there. */
  readonly nobody: number;
  // What `meet` found last, in an array of its own: of millions of pairs none makes an object, not even for a number.
  private readonly room = new Float64Array(1);
  private why = -1;

  constructor(ways: Ways, days: DayBook, nobody: number) {
    this.ways = ways;
    this.days = days;
    this.never = days.keep([]);
    this.nobody = nobody;
  }

  /** All pairs of two people of which one or the place changed. */
  crowds(spot: Spot, part: number, drivers: Crowd, vehicles: Crowd, hears: Hears, hoses: number): void {
    const [movedDrivers, stillDrivers] = [drivers.moved[part] as Cells, drivers.still[part] as Cells];
    const [movedVehicles, stillVehicles] = [vehicles.moved[part] as Cells, vehicles.still[part] as Cells];
    this.pairs(spot, movedDrivers, movedVehicles, hears, hoses);
    if (spot.moved) {
      this.pairs(spot, movedDrivers, stillVehicles, hears, hoses);
      this.pairs(spot, stillDrivers, movedVehicles, hears, hoses);
    } else {
      this.withStill(spot, movedDrivers, stillVehicles, true, hears, hoses);
      this.withStill(spot, movedVehicles, stillDrivers, false, hears, hoses);
    }
    if (spot.moved) this.pairs(spot, stillDrivers, stillVehicles, hears, hoses);
  }

  /** Those of one side who come with nobody of the other. */
  alone(spot: Spot, part: number, side: 'drivers' | 'vehicles', crowd: Crowd, hears: Hears, hoses: number): void {
    for (const { ids, counts } of [crowd.moved[part] as Cells, ...(spot.moved ? [crowd.still[part] as Cells] : [])]) {
      for (let n = 0; n < ids.length; n++) {
        const cell = ids[n] as number;
        const times = (counts[n] as number) * hoses;
        if (side === 'drivers') this.pair(spot, cell, this.nobody, times, hears);
        else this.pair(spot, this.nobody, cell, times, hears);
      }
    }
  }

  /**
   * A card that names both presents a pair that may also be presented by two cards: its days are the union. The pair was counted with the
   * days of two cards; here that is taken back and the right count put in.
   */
  couple(spot: Spot, x: number, y: number, group: CoupleGroup, times: number, hears: Hears): void {
    const { before, after } = this.ways;
    if (!spot.moved && before[x] === after[x] && before[y] === after[y] && group.before === group.after) return;
    this.pair(spot, x, y, -times, hears);
    const [db, da] = this.coupleDays(x, y, group);
    this.pair(spot, x, y, times, hears, db, da);
  }

  coupleDays(x: number, y: number, group: CoupleGroup): readonly [number, number] {
    const { before, after } = this.ways;
    const own = [before, after].map((half) => this.daysOf(half[x] as number, half[y] as number)) as [number, number];
    return [this.days.union(own[0], group.before), this.days.union(own[1], group.after)];
  }

  private pairs(spot: Spot, xs: Cells, ys: Cells, hears: Hears, hoses: number): void {
    for (let i = 0; i < xs.ids.length; i++) {
      const x = xs.ids[i] as number;
      const times = (xs.counts[i] as number) * hoses;
      for (let j = 0; j < ys.ids.length; j++)
        this.pair(spot, x, ys.ids[j] as number, times * (ys.counts[j] as number), hears);
    }
  }

  /** Cells that changed with those that did not, at a place that did not: whoever is limited lower than the other ever is keeps that limit. */
  private withStill(spot: Spot, moved: Cells, still: Cells, drivers: boolean, hears: Hears, hoses: number): void {
    const { before, after, flags, days, room } = this.ways;
    for (let i = 0; i < moved.ids.length; i++) {
      const x = moved.ids[i] as number;
      const b = before[x] as number;
      const a = after[x] as number;
      const times = (moved.counts[i] as number) * hoses;
      const same = flags[b] === flags[a] && days[b] === days[a];
      const low = same ? Math.min(room[b] as number, room[a] as number) : Number.NEGATIVE_INFINITY;
      for (let j = 0; j < still.ids.length; j++) {
        const y = still.ids[j] as number;
        if ((room[before[y] as number] as number) <= low) continue;
        const both = times * (still.counts[j] as number);
        if (drivers) this.pair(spot, x, y, both, hears);
        else this.pair(spot, y, x, both, hears);
      }
    }
  }

  /** One pair of cells, presented by a card each, or on the days given. */
  pair(spot: Spot, x: number, y: number, times: number, hears: Hears, daysBefore = -1, daysAfter = -1): void {
    const { before, after } = this.ways;
    const groundBefore = spot.ground[0];
    const groundAfter = spot.ground[1];
    const bx = before[x] as number;
    const by = before[y] as number;
    const ax = after[x] as number;
    const ay = after[y] as number;
    const was = this.meet(groundBefore, bx, by);
    const roomBefore = this.room[0] as number;
    const whyBefore = this.why;
    const is = this.meet(groundAfter, ax, ay);
    if (!was && !is) return;
    const { why, days, never } = this;
    const room = this.room[0] as number;
    let db = never;
    let da = never;
    if (was) db = daysBefore < 0 ? this.daysOf(bx, by) : daysBefore;
    if (is) da = daysAfter < 0 ? this.daysOf(ax, ay) : daysAfter;
    // Most pairs of somebody who changed are limited by the other, as before.
    if (was && is && roomBefore === room && db === da && groundBefore.closed === groundAfter.closed) return;
    if (was) db = days.without(db, groundBefore.closed);
    if (is) da = days.without(da, groundAfter.closed);
    if (was && is && roomBefore !== room) {
      const kind = roomBefore === 0 ? GAINED : room === 0 ? LOST : room > roomBefore ? RAISED : LOWERED;
      const both = days.intersect(db, da);
      if (both !== never) hears.differs(kind, whyBefore, why, roomBefore, room, both, times, x, y);
    }
    if (db === da) return;
    if (was && roomBefore > 0) {
      const lost = days.without(db, da);
      if (lost !== never) hears.differs(LOST, whyBefore, -1, roomBefore, 0, lost, times, x, y);
    }
    if (is && room > 0) {
      const gained = days.without(da, db);
      if (gained !== never) hears.differs(GAINED, -1, why, 0, room, gained, times, x, y);
    }
  }

  /** Days on which both stand there with cards of their own; whoever is not there sets no date. */
  daysOf(driver: number, vehicle: number): number {
    const { flags, days } = this.ways;
    if (((flags[driver] as number) & PRESENT) === 0) return days[vehicle] as number;
    if (((flags[vehicle] as number) & PRESENT) === 0) return days[driver] as number;
    return this.days.intersect(days[driver] as number, days[vehicle] as number);
  }

  /** Whether they may come together at all; what they may then draw is left in `room` (0 where it is of no use) and `why`. */
  private meet(ground: Ground, driver: number, vehicle: number): boolean {
    const { flags, room, rank, why } = this.ways;
    const d = flags[driver] as number;
    const v = flags[vehicle] as number;
    if (!ground.open || (d & v & MAY) === 0 || ((d | v) & PARTY) === 0) return false;
    if (!ground.identifies[(d & PRESENT) * 2 + (v & PRESENT)]) return false;
    const rd = room[driver] as number;
    const rv = room[vehicle] as number;
    const first = rd < rv || (rd === rv && (rank[driver] as number) <= (rank[vehicle] as number));
    // One of them holds allowances, which leave at most what the hose gives.
    const least = first ? rd : rv;
    this.why = (first ? why[driver] : why[vehicle]) as number;
    this.room[0] = least < LEAST_USEFUL ? 0 : least;
    return true;
  }
}
