import { minutesOn } from './adds.ts';
import type { Hears } from './compare.ts';
import type { Cells, Crowd } from './crowd.ts';
import type { Joint, JointParties } from './joint.ts';
import type { Looked } from './look.ts';
import type { Spot } from './spot.ts';

/** Ids of those for whom something changes: somewhere, at some time, alone or with anybody. */
export interface Touched {
  readonly drivers: ReadonlySet<string>;
  readonly vehicles: ReadonlySet<string>;
}

/**
 * Whom a difference touches, without asking group by group: people leave the search with the first change that is found for them, so that it
 * costs less than the difference itself. `checkOne` settles those few for whom two cards are not the whole truth.
 */
export function touchedIn(looked: Looked, checkOne: (side: Side, id: string) => boolean): Touched {
  const search = new Search(looked);
  for (const spot of looked.spots) search.look(spot);
  return { drivers: search.people('drivers', checkOne), vehicles: search.people('vehicles', checkOne) };
}

export type Side = 'drivers' | 'vehicles';
const OTHER = { drivers: 'vehicles', vehicles: 'drivers' } as const;

/** Found for a joint class: nothing, a change that whoever shares a card with somebody may not have, a change for all of it. */
const [NONE, DOUBTFUL, CERTAIN] = [0, 1, 2];

class Search implements Hears {
  private readonly looked: Looked;
  private readonly found: Record<Side, Map<number, number>> = { drivers: new Map(), vehicles: new Map() };
  private readonly singles: Record<Side, Set<string>> = { drivers: new Set(), vehicles: new Set() };
  /** Those whom a card names with another, and the most others that one of them is named with. */
  private readonly coupled: Record<Side, Set<string>> = { drivers: new Set(), vehicles: new Set() };
  private readonly partners: Readonly<Record<Side, number>>;
  private spot: Spot | null = null;
  private part = 0;
  private heard = false;

  constructor(looked: Looked) {
    this.looked = looked;
    for (const group of looked.couples.groups.values()) {
      for (const [driver, vehicle] of group.couples) {
        this.coupled.drivers.add(driver);
        this.coupled.vehicles.add(vehicle);
      }
    }
    this.partners = looked.couples.most;
  }

  differs(_kind: number, _wasWhy: number, _isWhy: number, _was: number, _is: number, days: number): void {
    const counts = this.looked.before.book.days.weekdayCounts(days);
    if (minutesOn((this.spot as Spot).parts.minutes, this.part, counts) > 0) this.heard = true;
  }

  look(spot: Spot): void {
    this.spot = spot;
    this.lookAtCouples(spot);
    for (const side of ['drivers', 'vehicles'] as const) {
      const ways: { joints: readonly number[]; cells: Int32Array }[] = [];
      spot[side].each((way, joints) => {
        if (joints.every((n) => this.found[side].get(n) === CERTAIN)) return;
        ways.push({ joints, cells: this.looked.ways.cellsOf(way, spot.parts) });
      });
      for (let part = 0; part < spot.parts.count && ways.length > 0; part++) {
        this.part = part;
        const seen = new Map<number, number>();
        for (const { joints, cells } of ways) {
          const cell = cells[part] as number;
          let what = seen.get(cell);
          if (what === undefined) {
            what = this.of(spot, side, cell);
            seen.set(cell, what);
          }
          for (const n of joints) if (what > (this.found[side].get(n) ?? NONE)) this.enter(side, n, what);
        }
      }
    }
  }

  /** What there is for those of one side in a cell: certain where they come alone, or with more than share a card with any of them. */
  private of(spot: Spot, side: Side, cell: number): number {
    const { nobody } = this.looked.compare;
    const moved = spot.moved || this.looked.ways.isMoved(cell);
    if (moved && this.looked.alone[side] && this.hears(spot, side, cell, nobody)) return CERTAIN;
    let best = NONE;
    const others: Crowd = spot[OTHER[side]];
    for (const cells of moved ? [others.moved, others.still] : [others.moved]) {
      const { ids, counts } = cells[this.part] as Cells;
      for (let n = 0; n < ids.length; n++) {
        const certain = (counts[n] as number) > this.partners[side];
        if ((!certain && best === DOUBTFUL) || !this.hears(spot, side, cell, ids[n] as number)) continue;
        if (certain) return CERTAIN;
        best = DOUBTFUL;
      }
    }
    return best;
  }

  private hears(spot: Spot, side: Side, cell: number, other: number): boolean {
    this.heard = false;
    const [x, y] = side === 'drivers' ? [cell, other] : [other, cell];
    this.looked.compare.pair(spot, x, y, 1, this);
    return this.heard;
  }

  private enter(side: Side, n: number, what: number): void {
    const { members } = this.looked[side].list[n] as Joint;
    const settled = what === DOUBTFUL && !members.some((id) => this.coupled[side].has(id));
    this.found[side].set(n, settled ? CERTAIN : what);
  }

  private lookAtCouples(spot: Spot): void {
    const { looked } = this;
    for (const group of looked.couples.groups.values()) {
      const x = looked.wayOf(spot, looked.drivers.list[group.driver] as Joint);
      const y = looked.wayOf(spot, looked.vehicles.list[group.vehicle] as Joint);
      if (x === -1 || y === -1) continue;
      const [xs, ys] = [looked.ways.cellsOf(x, spot.parts), looked.ways.cellsOf(y, spot.parts)];
      this.heard = false;
      for (let part = 0; part < spot.parts.count && !this.heard; part++) {
        this.part = part;
        const [cx, cy] = [xs[part] as number, ys[part] as number];
        const days = looked.compare.coupleDays(cx, cy, group);
        looked.compare.pair(spot, cx, cy, 1, this, days[0], days[1]);
      }
      if (!this.heard) continue;
      for (const [driver, vehicle] of group.couples) {
        this.singles.drivers.add(driver);
        this.singles.vehicles.add(vehicle);
      }
    }
  }

  people(side: Side, checkOne: (side: Side, id: string) => boolean): Set<string> {
    const people = new Set(this.singles[side]);
    const parties: JointParties = this.looked[side];
    for (const [n, what] of this.found[side]) {
      for (const id of (parties.list[n] as Joint).members) {
        if (what === CERTAIN || !this.coupled[side].has(id) || people.has(id) || checkOne(side, id)) people.add(id);
      }
    }
    return people;
  }
}
