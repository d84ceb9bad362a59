import { weekdayOf } from '../units/index.ts';
import { minutesOn } from './adds.ts';
import type { ChangeGroup, Names, Who, Witness } from './change.ts';
import type { Compare, Hears } from './compare.ts';
import type { JointCouples } from './couples.ts';
import type { Cells } from './crowd.ts';
import { type Days, pairsOf } from './days.ts';
import type { Joint, JointParties } from './joint.ts';
import type { Parts } from './parts.ts';
import type { Spot } from './spot.ts';
import type { Table } from './table.ts';
import { type GroupKey, KINDS } from './tally.ts';
import { PRESENT, type Ways } from './ways.ts';

/** What a group looks into when it is read: a difference that is kept. */
export interface Looked {
  readonly before: Table;
  readonly after: Table;
  readonly ways: Ways;
  readonly compare: Compare;
  readonly spots: readonly Spot[];
  readonly drivers: JointParties;
  readonly vehicles: JointParties;
  readonly couples: JointCouples;
  wayOf(spot: Spot, joint: Joint): number;
}

/** One group of a difference; whom and where it touches is found when first read. */
export class Group implements ChangeGroup {
  readonly kind: ChangeGroup['kind'];
  readonly product: string;
  readonly whyBefore: number;
  readonly whyAfter: number;
  readonly points: bigint;
  private readonly live: Looked;
  private found: Found | null = null;

  constructor(live: Looked, key: GroupKey, points: bigint) {
    this.live = live;
    this.kind = key.kind;
    this.product = key.product;
    this.whyBefore = key.whyBefore;
    this.whyAfter = key.whyAfter;
    this.points = points;
  }

  private get all(): Found {
    this.found ??= new Finder(this.live, this).find();
    return this.found;
  }

  /** Whether it was found to speak of somebody of these joint classes. */
  speaksOf(drivers: ReadonlySet<number>, vehicles: ReadonlySet<number>): boolean {
    return this.found !== null && (this.found.drivers.hasAny(drivers) || this.found.vehicles.hasAny(vehicles));
  }

  get drivers(): Names {
    return this.all.drivers;
  }
  get vehicles(): Names {
    return this.all.vehicles;
  }
  get who(): Who {
    return this.all.who;
  }
  get sites(): ReadonlySet<string> {
    return this.all.sites;
  }
  get hoses(): ReadonlySet<string> {
    return this.all.hoses;
  }
  get before(): readonly [number, number] {
    return this.all.before;
  }
  get after(): readonly [number, number] {
    return this.all.after;
  }
  get witness(): Witness {
    return this.all.witness;
  }
}

type Found = Pick<ChangeGroup, 'who' | 'sites' | 'hoses' | 'before' | 'after' | 'witness'> & {
  readonly drivers: People;
  readonly vehicles: People;
};

/** Joint classes, and single people beside them. */
class People implements Names {
  private readonly parties: JointParties;
  readonly joints = new Set<number>();
  private readonly singles = new Set<string>();

  constructor(parties: JointParties) {
    this.parties = parties;
  }

  /** Somebody of a couple, once all joint classes are in. */
  single(id: string): void {
    if (!this.joints.has(this.parties.numberOf(id) ?? -1)) this.singles.add(id);
  }

  /** Singles may be of any class. */
  hasAny(joints: ReadonlySet<number>): boolean {
    if (joints.size > 0 && this.singles.size > 0) return true;
    for (const n of joints) if (this.joints.has(n)) return true;
    return false;
  }

  get size(): number {
    let size = this.singles.size;
    for (const n of this.joints) size += (this.parties.list[n] as Joint).members.length;
    return size;
  }

  *[Symbol.iterator](): Iterator<string> {
    for (const n of this.joints) yield* (this.parties.list[n] as Joint).members;
    yield* this.singles;
  }

  static sum(parties: JointParties, ...lists: readonly People[]): People {
    const all = new People(parties);
    for (const list of lists) for (const n of list.joints) all.joints.add(n);
    for (const list of lists) for (const id of list.singles) all.single(id);
    return all;
  }
}

/** Looks again at the pairs that may have given a group its points. */
class Finder implements Hears {
  private readonly live: Looked;
  private readonly group: Group;
  private readonly driversAlone: People;
  private readonly vehiclesAlone: People;
  private readonly driversWith: People;
  private readonly vehiclesWith: People;
  private readonly couples = new Map<string, readonly [string, string]>();
  private readonly hoses = new Set<string>();
  private readonly sites = new Set<string>();
  private readonly before: [number, number] = [Number.POSITIVE_INFINITY, 0];
  private readonly after: [number, number] = [Number.POSITIVE_INFINITY, 0];
  private most = 0;
  private witness: Witness | null = null;
  // Where it looks.
  private spot: Spot | null = null;
  private part = 0;
  private cells: readonly [number, number] = [0, 0];
  private pair: readonly [string, string] | null = null;
  private pairs = 0;
  private heard = false;

  constructor(live: Looked, group: Group) {
    this.live = live;
    this.group = group;
    this.driversAlone = new People(live.drivers);
    this.vehiclesAlone = new People(live.vehicles);
    this.driversWith = new People(live.drivers);
    this.vehiclesWith = new People(live.vehicles);
  }

  find(): Found {
    const { live, group } = this;
    for (const spot of live.spots) if (spot.product === group.product) this.look(spot);
    for (const [driver, vehicle] of this.couples.values()) {
      this.driversWith.single(driver);
      this.vehiclesWith.single(vehicle);
    }
    const { driversAlone, vehiclesAlone, driversWith, vehiclesWith, before, after, hoses, sites } = this;
    const each = this.most >= driversWith.size * vehiclesWith.size;
    return {
      drivers: People.sum(live.drivers, driversAlone, driversWith),
      vehicles: People.sum(live.vehicles, vehiclesAlone, vehiclesWith),
      who: { driversAlone, vehiclesAlone, together: { drivers: driversWith, vehicles: vehiclesWith, each } },
      sites,
      hoses,
      before,
      after,
      witness: this.witness as Witness,
    };
  }

  private look(spot: Spot): void {
    const { compare } = this.live;
    this.spot = spot;
    let any = false;
    for (let part = 0; part < spot.parts.count; part++) {
      this.part = part;
      this.pair = null;
      this.pairs = 0;
      const alone: [Set<number>, Set<number>] = [new Set(), new Set()];
      const both: [Set<number>, Set<number>] = [new Set(), new Set()];
      for (const [x, y, times] of this.likely(spot, part)) {
        this.heard = false;
        this.cells = [x, y];
        compare.pair(spot, x, y, times, this);
        if (!this.heard) continue;
        const { flags, before } = this.live.ways;
        const [d, v] = [
          (flags[before[x] as number] as number) & PRESENT,
          (flags[before[y] as number] as number) & PRESENT,
        ];
        if (d && v) this.pairs += times;
        if (d) (v ? both : alone)[0].add(x);
        if (v) (d ? both : alone)[1].add(y);
      }
      this.most = Math.max(this.most, this.pairs);
      any ||= alone[0].size + alone[1].size + both[0].size > 0;
      this.enter(spot, 'drivers', alone[0], this.driversAlone);
      this.enter(spot, 'vehicles', alone[1], this.vehiclesAlone);
      this.enter(spot, 'drivers', both[0], this.driversWith);
      this.enter(spot, 'vehicles', both[1], this.vehiclesWith);
    }
    any = this.lookAtCouples(spot) || any;
    if (!any) return;
    for (const id of spot.hoses) {
      this.hoses.add(id);
      this.sites.add((this.live.after.policy.hoses.get(id) ?? this.live.before.policy.hoses.get(id))?.row.site ?? '');
    }
  }

  private lookAtCouples(spot: Spot): boolean {
    const { live } = this;
    let any = false;
    for (const group of live.couples.groups.values()) {
      const x = live.wayOf(spot, live.drivers.list[group.driver] as Joint);
      const y = live.wayOf(spot, live.vehicles.list[group.vehicle] as Joint);
      if (x === -1 || y === -1) continue;
      const [xs, ys] = [live.ways.cellsOf(x, spot.parts), live.ways.cellsOf(y, spot.parts)];
      for (let part = 0; part < spot.parts.count; part++) {
        const [cx, cy] = [xs[part] as number, ys[part] as number];
        const days = live.compare.coupleDays(cx, cy, group);
        this.heard = false;
        this.part = part;
        this.pair = group.couples[0] as readonly [string, string];
        live.compare.pair(spot, cx, cy, 1, this, days[0], days[1]);
        if (!this.heard) continue;
        any = true;
        for (const couple of group.couples) this.couples.set(couple.join(' '), couple);
      }
    }
    return any;
  }

  /** The joint classes that come in one of these cells. */
  private enter(spot: Spot, side: 'drivers' | 'vehicles', cells: ReadonlySet<number>, people: People): void {
    if (cells.size === 0) return;
    for (const [way, joints] of spot[side].ways) {
      if (!cells.has(this.live.ways.cellsOf(way, spot.parts)[this.part] as number)) continue;
      for (const n of joints) people.joints.add(n);
    }
  }

  /** Pairs of cells that have both reasons between them, one or the place changed. */
  private *likely(spot: Spot, part: number): Generator<readonly [number, number, number]> {
    const [xs, ys] = [spot.drivers, spot.vehicles].map((crowd) => [
      ...this.listed(crowd.moved[part] as Cells, true),
      ...this.listed(crowd.still[part] as Cells, spot.moved),
    ]) as [Likely[], Likely[]];
    const need = (n: number) => ys.filter((y) => (y.has & n) === n);
    const lists = [need(3), need(2), need(1), ys];
    for (const x of xs) {
      for (const y of lists[x.has] as Likely[]) {
        if (x.moved || y.moved) yield [x.cell, y.cell, x.count * y.count];
      }
    }
  }

  private listed(cells: Cells, moved: boolean): Likely[] {
    const { before, after, why } = this.live.ways;
    const { whyBefore, whyAfter } = this.group;
    const [anyBefore, anyAfter] = [this.isAnybody(whyBefore, 0), this.isAnybody(whyAfter, 1)];
    return cells.ids.map((cell, n) => {
      const b = anyBefore || why[before[cell] as number] === whyBefore;
      const a = anyAfter || why[after[cell] as number] === whyAfter;
      return { cell, moved, count: cells.counts[n] as number, has: (b ? 1 : 0) + (a ? 2 : 0) };
    });
  }

  /** Reasons that no party brings: nothing is open, or the hose's own. */
  private isAnybody(why: number, side: 0 | 1): boolean {
    return why === -1 || why === (this.spot as Spot).ground[side].why;
  }

  differs(kind: number, wasWhy: number, isWhy: number, was: number, is: number, days: number, _times: number): void {
    const { group, live, part } = this;
    if (KINDS[kind] !== group.kind || wasWhy !== group.whyBefore || isWhy !== group.whyAfter) return;
    const { parts } = this.spot as Spot;
    const book = live.before.book.days;
    if (minutesOn(parts.minutes, part, book.weekdayCounts(days)) === 0) return;
    this.heard = true;
    this.before[0] = Math.min(this.before[0], was);
    this.before[1] = Math.max(this.before[1], was);
    this.after[0] = Math.min(this.after[0], is);
    this.after[1] = Math.max(this.after[1], is);
    if (this.witness) return;
    const who = this.pair ?? this.uncoupled();
    if (!who) return;
    const hose = (this.spot as Spot).hoses[0] as string;
    const when = firstMoment(parts, part, book.of(days), book.weekdayCounts(days));
    this.witness = { driver: who[0], vehicle: who[1], hose, ...when, before: was, after: is };
  }

  /** The first pair that no card names together: only of those are two cards' days the whole truth. */
  private uncoupled(): readonly [string | null, string | null] | null {
    const { live } = this;
    const spot = this.spot as Spot;
    const [drivers, vehicles] = (['drivers', 'vehicles'] as const).map((side, n) => {
      const half = live.ways.before[this.cells[n] as number] as number;
      if (((live.ways.flags[half] as number) & PRESENT) === 0) return [null];
      const people = new People(live[side]);
      this.enter(spot, side, new Set([this.cells[n] as number]), people);
      return [...people];
    }) as [(string | null)[], (string | null)[]];
    for (const driver of drivers) {
      for (const vehicle of vehicles)
        if (driver === null || vehicle === null || !live.couples.has(driver, vehicle)) return [driver, vehicle];
    }
    return null;
  }
}

interface Likely {
  readonly cell: number;
  readonly moved: boolean;
  readonly count: number;
  /** 1 where it may bring the reason before, plus 2 where the reason after. */
  readonly has: number;
}

/** The earliest day of the week on which the part has a minute among the days, with the first such day and minute. */
function firstMoment(
  parts: Parts,
  part: number,
  days: Days,
  weekdays: readonly number[],
): { day: number; minute: number } {
  for (let w = 0; w < 7; w++) {
    if ((weekdays[w] as number) === 0) continue;
    const stretch = parts.stretches[part]?.find((s) => s.from < (w + 1) * 1440 && s.to > w * 1440);
    if (!stretch) continue;
    const minute = Math.max(stretch.from, w * 1440) - w * 1440;
    for (const [from, until] of pairsOf(days)) {
      for (let day = from; day <= Math.min(until, from + 6); day++) if (weekdayOf(day) === w) return { day, minute };
    }
  }
  return { day: days[0] as number, minute: 0 };
}
