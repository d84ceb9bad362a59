import { weekdayOf } from '../units/index.ts';
import { minutesOn } from './adds.ts';
import type { ChangeGroup, Names, Who, Witness } from './change.ts';
import type { Compare, Hears } from './compare.ts';
import type { JointCouples } from './couples.ts';
import type { Cells, Crowd } from './crowd.ts';
import { type Days, pairsOf } from './days.ts';
import type { Joint, JointParties } from './joint.ts';
import type { Parts } from './parts.ts';
import type { Spot } from './spot.ts';
import type { Table } from './table.ts';
import { type GroupKey, KINDS } from './tally.ts';
import type { Ways } from './ways.ts';

/** Whether drivers come without a vehicle, and vehicles without a driver. */
export interface Alone {
  readonly drivers: boolean;
  readonly vehicles: boolean;
}

/** What a group looks into when it is read: a difference that is kept. */
export interface Looked {
  readonly alone: Alone;
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
    this.spot = spot;
    const { count } = spot.parts;
    const found: Heard = { drivers: emptied(count), vehicles: emptied(count) };
    let any = false;
    for (let part = 0; part < count; part++) {
      this.part = part;
      this.pair = null;
      if (!this.mayHold(spot, part)) continue;
      const [drivers, vehicles] = [this.listed(spot.drivers, part), this.listed(spot.vehicles, part)];
      any = this.lookAtPairs(spot, drivers, vehicles, found) || any;
      any = this.lookAlone(spot, drivers, vehicles, found) || any;
    }
    if (any) {
      this.enter(spot, 'drivers', found.drivers, this.driversAlone, this.driversWith);
      this.enter(spot, 'vehicles', found.vehicles, this.vehiclesAlone, this.vehiclesWith);
    }
    any = this.lookAtCouples(spot) || any;
    if (!any) return;
    for (const id of spot.hoses) {
      this.hoses.add(id);
      this.sites.add((this.live.after.policy.hoses.get(id) ?? this.live.before.policy.hoses.get(id))?.row.site ?? '');
    }
  }

  private hears(spot: Spot, x: number, y: number): boolean {
    this.heard = false;
    this.cells = [x, y];
    this.live.compare.pair(spot, x, y, 1, this);
    return this.heard;
  }

  /** Pairs of cells that have both reasons between them, one or the place changed. */
  private lookAtPairs(spot: Spot, drivers: Listed, vehicles: Listed, found: Heard): boolean {
    let pairs = 0;
    // By what a driver brings: the vehicles that bring the rest.
    const need: number[][] = [[], [], [], []];
    for (let n = 0; n < vehicles.cells.length; n++)
      for (let bits = 0; bits < 4; bits++) if ((fits(vehicles, n) | bits) === 3) need[bits]?.push(n);
    for (let i = 0; i < drivers.cells.length; i++) {
      const x = drivers.cells[i] as number;
      const last = i < drivers.moved || spot.moved ? vehicles.cells.length : vehicles.moved;
      const list = need[fits(drivers, i)] as number[];
      for (let k = 0; k < list.length; k++) {
        const j = list[k] as number;
        if (j >= last) break;
        const y = vehicles.cells[j] as number;
        if (!this.hears(spot, x, y)) continue;
        pairs += (drivers.counts[i] as number) * (vehicles.counts[j] as number);
        found.drivers.together[this.part]?.add(x);
        found.vehicles.together[this.part]?.add(y);
      }
    }
    this.most = Math.max(this.most, pairs);
    return pairs > 0;
  }

  private lookAlone(spot: Spot, drivers: Listed, vehicles: Listed, found: Heard): boolean {
    const { nobody } = this.live.compare;
    let any = false;
    for (const [side, { cells, has, moved }] of [drivers, vehicles].entries()) {
      if (!this.live.alone[side === 0 ? 'drivers' : 'vehicles']) continue;
      const last = spot.moved ? cells.length : moved;
      for (let n = 0; n < last; n++) {
        const cell = cells[n] as number;
        if (has[n] !== 3 || !this.hears(spot, side === 0 ? cell : nobody, side === 0 ? nobody : cell)) continue;
        found[side === 0 ? 'drivers' : 'vehicles'].alone[this.part]?.add(cell);
        any = true;
      }
    }
    return any;
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

  /** The joint classes that come in one of these cells, in one pass over the ways in which they come. */
  private enter(spot: Spot, side: 'drivers' | 'vehicles', found: HeardOf, alone: People, together: People): void {
    const [ones, twos] = [partsWith(found.alone), partsWith(found.together)];
    for (const [way, joints] of spot[side].ways) {
      const cells = this.live.ways.cellsOf(way, spot.parts);
      if (ones.some((part) => found.alone[part]?.has(cells[part] as number)))
        for (const n of joints) alone.joints.add(n);
      if (twos.some((part) => found.together[part]?.has(cells[part] as number)))
        for (const n of joints) together.joints.add(n);
    }
  }

  /** Whether both reasons are among those of the part at all. */
  private mayHold(spot: Spot, part: number): boolean {
    const { before, after, why } = this.live.ways;
    const { whyBefore, whyAfter } = this.group;
    let b = this.isAnybody(whyBefore, 0);
    let a = this.isAnybody(whyAfter, 1);
    for (const crowd of [spot.drivers, spot.vehicles]) {
      for (const { ids } of [crowd.moved[part] as Cells, crowd.still[part] as Cells]) {
        for (let n = 0; n < ids.length && !(a && b); n++) {
          const cell = ids[n] as number;
          b ||= why[before[cell] as number] === whyBefore;
          a ||= why[after[cell] as number] === whyAfter;
        }
      }
    }
    return a && b;
  }

  private listed(crowd: Crowd, part: number): Listed {
    const [moved, still] = [crowd.moved[part] as Cells, crowd.still[part] as Cells];
    const { before, after, why } = this.live.ways;
    const { whyBefore, whyAfter } = this.group;
    const [anyBefore, anyAfter] = [this.isAnybody(whyBefore, 0), this.isAnybody(whyAfter, 1)];
    const cells = [...moved.ids, ...still.ids];
    const has = new Uint8Array(cells.length);
    for (let n = 0; n < cells.length; n++) {
      const cell = cells[n] as number;
      const b = anyBefore || why[before[cell] as number] === whyBefore;
      const a = anyAfter || why[after[cell] as number] === whyAfter;
      has[n] = (b ? 1 : 0) + (a ? 2 : 0);
    }
    return { cells, counts: [...moved.counts, ...still.counts], has, moved: moved.ids.length };
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
    for (const driver of this.membersOf('drivers', this.cells[0])) {
      for (const vehicle of this.membersOf('vehicles', this.cells[1]))
        if (driver === null || vehicle === null || !live.couples.has(driver, vehicle)) return [driver, vehicle];
    }
    return null;
  }

  private *membersOf(side: 'drivers' | 'vehicles', cell: number): Generator<string | null> {
    const { ways, compare } = this.live;
    if (cell === compare.nobody) {
      yield null;
      return;
    }
    const spot = this.spot as Spot;
    for (const [way, joints] of spot[side].ways) {
      if (ways.cellsOf(way, spot.parts)[this.part] !== cell) continue;
      for (const n of joints) yield* (this.live[side].list[n] as Joint).members;
    }
  }
}

/** Cells of one side at one part of the week, those that changed first. */
interface Listed {
  readonly cells: readonly number[];
  readonly counts: readonly number[];
  /** 1 where it may bring the reason before, plus 2 where the reason after. */
  readonly has: Uint8Array;
  /** How many of them changed. */
  readonly moved: number;
}

const fits = (list: Listed, n: number): number => list.has[n] as number;

/** Cells that were heard of, by part of the week. */
interface HeardOf {
  readonly alone: readonly Set<number>[];
  readonly together: readonly Set<number>[];
}
type Heard = Record<'drivers' | 'vehicles', HeardOf>;

const emptied = (parts: number): HeardOf => ({
  alone: Array.from({ length: parts }, () => new Set<number>()),
  together: Array.from({ length: parts }, () => new Set<number>()),
});

const partsWith = (sets: readonly Set<number>[]): number[] =>
  [...sets.keys()].filter((part) => (sets[part] as Set<number>).size > 0);

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
