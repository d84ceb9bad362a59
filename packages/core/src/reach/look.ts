import { weekdayOf } from '../units/index.ts';
import { minutesOn } from './adds.ts';
import { type CellSets, putCell } from './cell-sets.ts';
import type { Witness } from './change.ts';
import type { Compare, Hears } from './compare.ts';
import type { CoupleGroup, Couples, JointCouples } from './couples.ts';
import type { Cells, Crowd } from './crowd.ts';
import { type Days, pairsOf } from './days.ts';
import { emptyCells, type Heard, HeardSide, widen } from './heard.ts';
import type { Joint, JointParties } from './joint.ts';
import { AFTER, ALL, BEFORE, bringing, COMES, HeardAlike, type Listed, outdone } from './listed.ts';
import { OnlyCoupled, type OnlyPeople } from './only-coupled.ts';
import type { Parts } from './parts.ts';
import type { Spot } from './spot.ts';
import type { Table } from './table.ts';
import { type GroupKey, KINDS } from './tally.ts';
import { MAY, type Ways } from './ways.ts';

/** Whether drivers come without a vehicle, and vehicles without a driver. */
export interface Alone {
  readonly drivers: boolean;
  readonly vehicles: boolean;
}

/** What is looked into: a difference that is kept. */
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
  /** Groups that were read, by number. */
  readonly asked: Set<number>;
  /** How many edits it took in: what was read before the last one may stand no more. */
  readonly edits: number;
  /** After how many of them the points of groups changed last, by number. */
  readonly changed: ReadonlyMap<number, number>;
  wayOf(spot: Spot, joint: Joint): number;
}

/** Looks again at the pairs of one spot that may have given a group its points. */
export class Look implements Hears {
  private readonly live: Looked;
  private readonly group: GroupKey;
  private readonly kind: number;
  private readonly spot: Spot;
  private readonly before: [number, number] = [Number.POSITIVE_INFINITY, 0];
  private readonly after: [number, number] = [Number.POSITIVE_INFINITY, 0];
  private witness: Witness | null = null;
  /** Whether a witness is wanted, and nothing else. */
  private readonly seeks: boolean;
  // Where it looks.
  private part = 0;
  private cells: readonly [number, number] = [0, 0];
  private pair: readonly [string, string] | null = null;
  private heard = false;
  /** Whether quantities and a witness are taken from what is heard. */
  private counts = true;
  private here: CouplesHere[] | null = null;
  /** By part of the week, and by their cells. */
  private readonly byCells: Map<number, CoupleGroup['couples']>[] = [];
  private readonly only: (readonly [part: number, OnlyPeople])[] = [];

  private constructor(live: Looked, group: GroupKey, spot: Spot, seeks: boolean) {
    this.live = live;
    this.group = group;
    this.kind = KINDS.indexOf(group.kind);
    this.spot = spot;
    this.seeks = seeks;
  }

  /** Null where nothing at the spot is of the group. */
  static at(live: Looked, group: GroupKey, spot: Spot): Heard | null {
    return new Look(live, group, spot, false).all();
  }

  static witnessAt(live: Looked, group: GroupKey, spot: Spot): Witness | null {
    const look = new Look(live, group, spot, true);
    look.all();
    return look.witness;
  }

  /** How many pairs of people have a part in the group together in one part of the week. */
  static pairsAt(live: Looked, group: GroupKey, spot: Spot, part: number): number {
    const look = new Look(live, group, spot, false);
    look.part = part;
    const list = look.listed();
    let pairs = list ? look.lookAtPairs(list.drivers, list.vehicles) : 0;
    // Pairs that a card names were counted with the days of two cards.
    for (const couples of look.couples()) {
      const { group, xs, ys } = couples;
      const two = look.hears(xs[part] as number, ys[part] as number);
      pairs += (Number(look.hearsCouples(couples)) - Number(two)) * group.couples.length;
    }
    return pairs;
  }

  private all(): Heard | null {
    const { parts } = this.spot;
    const [drivers, vehicles] = [emptyCells(parts.count), emptyCells(parts.count)];
    let any = false;
    for (let part = 0; part < parts.count && this.witness === null; part++) {
      this.part = part;
      const list = this.mayDiffer() ? this.listed() : null;
      if (!list) continue;
      this.lookAtPairs(list.drivers, list.vehicles, drivers.together, vehicles.together);
      any = drivers.together[part] !== null || any;
      any = this.lookAlone(list.drivers, drivers.alone, true) || any;
      any = this.lookAlone(list.vehicles, vehicles.alone, false) || any;
    }
    const couples = this.witness === null ? this.lookAtCouples() : [];
    if (!any && couples.length === 0) return null;
    return {
      drivers: new HeardSide(drivers),
      vehicles: new HeardSide(vehicles),
      couples,
      except: {
        drivers: this.except('drivers', drivers.together),
        vehicles: this.except('vehicles', vehicles.together),
      },
      before: this.before,
      after: this.after,
    };
  }

  /** Whether anybody, or the place, is not as before in the part at all. */
  private mayDiffer(): boolean {
    const { moved, drivers, vehicles } = this.spot;
    return moved || [drivers, vehicles].some((crowd) => (crowd.moved[this.part] as Cells).ids.length > 0);
  }

  private hears(x: number, y: number): boolean {
    this.heard = false;
    this.cells = [x, y];
    this.live.compare.pair(this.spot, x, y, 1, this);
    return this.heard;
  }

  /**
   * Pairs of cells that bring everything between them, one or the place changed: their cells are taken in where there is a list for them, else
   * it is counted how many pairs of people they are, with two cards.
   */
  private lookAtPairs(drivers: Listed, vehicles: Listed, xs?: CellSets, ys?: CellSets): number {
    let pairs = 0;
    const { most } = this.live.couples;
    const [knownX, knownY] = [new Uint8Array(drivers.cells.length), new Uint8Array(vehicles.cells.length)];
    // Where no card names two and no witness is wanted: of those of whom one decides before and after, all others who stand there alike hear the same.
    const alike = xs && most.drivers === 0 && !this.seeks ? new HeardAlike(this.live.ways, drivers, vehicles) : null;
    const only = most.drivers === 0 ? null : new OnlyCoupled(drivers.cells.length, vehicles.cells.length);
    // By what a driver brings: the vehicles that bring the rest.
    const need = bringing(vehicles);
    for (let i = 0; i < drivers.cells.length && this.witness === null; i++) {
      const x = drivers.cells[i] as number;
      const last = i < drivers.moved || this.spot.moved ? vehicles.cells.length : vehicles.moved;
      const list = need[drivers.has[i] as number] as number[];
      for (let k = 0; k < list.length; k++) {
        const j = list[k] as number;
        if (j >= last) break;
        if (outdone(drivers, i, vehicles, j)) continue;
        // Two of whom each was heard with others add nothing: one rule leaves all whom it limits as much, but for tanks, and those are of vehicles
        // alone, each of which said its own.
        if (alike && knownX[i] === 1 && knownY[j] === 1) continue;
        const y = vehicles.cells[j] as number;
        const n = drivers.counts[i] as number;
        const m = vehicles.counts[j] as number;
        const couples = n <= most.vehicles || m <= most.drivers ? this.couplesOf(x, y) : NO_COUPLES;
        // Those who come on the days of a card for both are looked at by themselves.
        this.counts = couples.length < n * m;
        if (alike ? alike.hears(i, j, () => this.hears(x, y)) : this.hears(x, y)) {
          pairs += n * m;
          only?.meet(i, j, n, m, couples);
          if (this.counts && xs && ys) {
            if (knownX[i] === 0) putCell(xs, this.part, x);
            if (knownY[j] === 0) putCell(ys, this.part, y);
            knownX[i] = 1;
            knownY[j] = 1;
          }
        }
        this.counts = true;
      }
    }
    if (only) this.only.push([this.part, only.people()]);
    return pairs;
  }

  private lookAlone({ cells, has, moved }: Listed, heard: CellSets, driver: boolean): boolean {
    const { nobody } = this.live.compare;
    if (!this.live.alone[driver ? 'drivers' : 'vehicles']) return false;
    const last = this.spot.moved ? cells.length : moved;
    let any = false;
    for (let n = 0; n < last && this.witness === null; n++) {
      const cell = cells[n] as number;
      if (has[n] !== ALL || !this.hears(driver ? cell : nobody, driver ? nobody : cell)) continue;
      putCell(heard, this.part, cell);
      any = true;
    }
    return any;
  }

  private lookAtCouples(): Couples {
    const found: Couples[number][] = [];
    for (const couples of this.couples()) {
      this.pair = couples.group.couples[0] as readonly [string, string];
      let heard = false;
      for (let part = 0; part < this.spot.parts.count; part++) {
        this.part = part;
        heard = this.hearsCouples(couples) || heard;
      }
      if (heard) for (const couple of couples.group.couples) found.push(couple);
      if (this.witness) break;
    }
    return found;
  }

  private hearsCouples({ group, xs, ys }: CouplesHere): boolean {
    const { compare } = this.live;
    const [x, y] = [xs[this.part] as number, ys[this.part] as number];
    const days = compare.coupleDays(x, y, group);
    this.heard = false;
    compare.pair(this.spot, x, y, 1, this, days[0], days[1]);
    return this.heard;
  }

  private couples(): readonly CouplesHere[] {
    if (this.here) return this.here;
    const { live, spot } = this;
    this.here = [];
    for (const group of live.couples.groups.values()) {
      const x = live.wayOf(spot, live.drivers.list[group.driver] as Joint);
      const y = live.wayOf(spot, live.vehicles.list[group.vehicle] as Joint);
      if (x === -1 || y === -1) continue;
      this.here.push({ group, xs: live.ways.cellsOf(x, spot.parts), ys: live.ways.cellsOf(y, spot.parts) });
    }
    return this.here;
  }

  /** Whom cards name together, of two cells. */
  private couplesOf(x: number, y: number): Couples {
    let all = this.byCells[this.part];
    if (!all) {
      all = new Map();
      this.byCells[this.part] = all;
      for (const { group, xs, ys } of this.couples()) {
        const key = (xs[this.part] as number) * CELLS + (ys[this.part] as number);
        const list = all.get(key);
        if (list) for (const couple of group.couples) list.push(couple);
        else all.set(key, [...group.couples]);
      }
    }
    return all.get(x * CELLS + y) ?? NO_COUPLES;
  }

  /** Those of one side who, wherever their cell is heard, meet only those with whom a card names them. */
  private except(side: 'drivers' | 'vehicles', heard: CellSets): Set<string> {
    const { live, spot } = this;
    const parts = new Map<string, Set<number>>();
    for (const [part, people] of this.only)
      for (const id of people[side]) parts.set(id, (parts.get(id) ?? new Set()).add(part));
    for (const [id, only] of parts) {
      const joint = live[side].list[live[side].numberOf(id) as number] as Joint;
      const cells = live.ways.cellsOf(live.wayOf(spot, joint), spot.parts);
      if (heard.some((set, part) => !only.has(part) && set?.has(cells[part] as number))) parts.delete(id);
    }
    return new Set(parts.keys());
  }

  /** The cells of a part that may have to do with the group; null where nobody brings one of its reasons. */
  private listed(): { drivers: Listed; vehicles: Listed } | null {
    const { group, spot, part } = this;
    const before = this.leastOf(this.live.ways.before, group.whyBefore);
    const after = before === null ? null : this.leastOf(this.live.ways.after, group.whyAfter);
    if (before === null || after === null) return null;
    const least = [before, after] as const;
    return { drivers: this.list(spot.drivers, part, least), vehicles: this.list(spot.vehicles, part, least) };
  }

  /**
   * The least room that anybody leaves for a reason; null where nobody does. The lower of two rooms decides, so that whoever leaves less
   * room than this is never one of two for whom the reason decides.
   */
  private leastOf(halves: readonly number[], reason: number): number | null {
    if (reason === -1) return Number.NEGATIVE_INFINITY;
    const { why, room } = this.live.ways;
    let least: number | null = null;
    for (const crowd of [this.spot.drivers, this.spot.vehicles]) {
      for (const { ids } of [crowd.moved[this.part] as Cells, crowd.still[this.part] as Cells]) {
        for (let n = 0; n < ids.length; n++) {
          const half = halves[ids[n] as number] as number;
          if (why[half] !== reason) continue;
          const left = room[half] as number;
          if (least === null || left < least) least = left;
        }
      }
    }
    return least;
  }

  private list(crowd: Crowd, part: number, least: readonly [number, number]): Listed {
    const { before, after, why, room, flags, days } = this.live.ways;
    const { whyBefore, whyAfter } = this.group;
    // Where nothing was or is open at all nobody brings a reason.
    const [anyBefore, anyAfter] = [whyBefore === -1, whyAfter === -1];
    // Then other people may come or on other days: of one of the two, unless the place itself changed.
    const anyCome = this.spot.moved || !(anyBefore || anyAfter);
    // Of a group with a reason on one side everybody may stand there on that side.
    const [mustBefore, mustAfter] = [anyBefore ? 0 : MAY, anyAfter ? 0 : MAY];
    const [cells, counts, has]: [number[], number[], number[]] = [[], [], []];
    const [roomBefore, roomAfter]: [number[], number[]] = [[], []];
    let moved = 0;
    for (const from of [crowd.moved[part] as Cells, crowd.still[part] as Cells]) {
      for (let n = 0; n < from.ids.length; n++) {
        const cell = from.ids[n] as number;
        const b = before[cell] as number;
        const a = after[cell] as number;
        const was = room[b] as number;
        const is = room[a] as number;
        if (was < least[0] || is < least[1]) continue;
        if (((flags[b] as number) & mustBefore) !== mustBefore || ((flags[a] as number) & mustAfter) !== mustAfter)
          continue;
        roomBefore.push(was);
        roomAfter.push(is);
        cells.push(cell);
        counts.push(from.counts[n] as number);
        const brings = anyBefore || why[b] === whyBefore;
        const brought = anyAfter || why[a] === whyAfter;
        const comes = anyCome || flags[b] !== flags[a] || days[b] !== days[a];
        has.push((brings ? BEFORE : 0) + (brought ? AFTER : 0) + (comes ? COMES : 0));
      }
      if (from === crowd.moved[part]) moved = cells.length;
    }
    return { cells, counts, has, roomBefore, roomAfter, moved };
  }

  differs(kind: number, wasWhy: number, isWhy: number, was: number, is: number, days: number, _times: number): void {
    const { group, live, part, before, after } = this;
    if (kind !== this.kind || wasWhy !== group.whyBefore || isWhy !== group.whyAfter) return;
    const { parts } = this.spot;
    const book = live.before.book.days;
    const weekdays = book.weekdayCounts(days);
    if (minutesOn(parts.minutes, part, weekdays) === 0) return;
    this.heard = true;
    if (!this.counts) return;
    widen(before, was);
    widen(after, is);
    if (!this.seeks || this.witness) return;
    const who = this.pair ?? this.uncoupled();
    if (!who) return;
    const hose = this.spot.hoses[0] as string;
    const when = firstMoment(parts, part, book.of(days), weekdays);
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
    const inCell: (readonly number[])[] = [];
    this.spot[side].each((way, joints) => {
      if (ways.cellsOf(way, this.spot.parts)[this.part] === cell) inCell.push(joints);
    });
    for (const joints of inCell) for (const n of joints) yield* (this.live[side].list[n] as Joint).members;
  }
}

/** Couples that come to the spot, with their cells, one a part. */
interface CouplesHere {
  readonly group: CoupleGroup;
  readonly xs: Int32Array;
  readonly ys: Int32Array;
}

const NO_COUPLES: Couples = [];
/** More than there are cells. */
const CELLS = 67_108_864;

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
