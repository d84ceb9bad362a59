import { Adds } from './adds.ts';
import type { Difference, Progress } from './change.ts';
import { Compare } from './compare.ts';
import { type CoupleGroup, JointCouples } from './couples.ts';
import { Crowd } from './crowd.ts';
import { weekdayCounts } from './days.ts';
import { Groups } from './groups.ts';
import { hosesById, type Joint, JointParties, type Move } from './joint.ts';
import { WeekParts } from './parts.ts';
import { placeOf, Sides } from './sides.ts';
import { copyOf, covers, type Spot, sameMet, sameTogether, spotsOf, type Tells } from './spot.ts';
import type { HoseClass, Table } from './table.ts';
import { Tally } from './tally.ts';
import { Ways } from './ways.ts';

/**
 * The difference of what runs and a draft, kept ready: after an edit of the draft only what the edit touched is counted again. Points are
 * sums over pairs of people, hoses and minutes, so that somebody who changed is taken out as they were and put in as they are.
 */
export class LiveDifference {
  readonly alone = { drivers: true, vehicles: true };
  readonly before: Table;
  after: Table;
  readonly ways: Ways;
  readonly compare: Compare;
  readonly tally = new Tally();
  spots: Spot[] = [];
  readonly drivers: JointParties;
  readonly vehicles: JointParties;
  readonly couples: JointCouples;
  private readonly adds: Adds;
  private readonly sides: Sides;
  private readonly weeks = new WeekParts();
  private readonly hosesBefore: ReadonlyMap<string, HoseClass>;
  private hosesAfter: ReadonlyMap<string, HoseClass>;
  private readonly tells: readonly [Tells, Tells];
  private readonly groups = new Groups(this, this.tally);
  /** Groups that were read since the last edit. */
  readonly asked = new Set<number>();
  edits = 0;
  readonly changed = new Map<number, number>();

  private constructor(before: Table, after: Table) {
    this.before = before;
    this.after = after;
    const { days } = before.book;
    this.sides = new Sides(days);
    this.ways = new Ways(before.book);
    const nobody = this.ways.of(this.sides.nobody, this.sides.nobody);
    this.compare = new Compare(this.ways, days, this.ways.cellsOf(nobody, this.weeks.of(new Set()))[0] as number);
    this.adds = new Adds(this.tally, days, this.compare.nobody);
    this.drivers = new JointParties(before.driverOf, after.driverOf);
    this.vehicles = new JointParties(before.vehicleOf, after.vehicleOf);
    this.couples = new JointCouples(before, after, this.drivers, this.vehicles);
    this.hosesBefore = hosesById(before);
    this.hosesAfter = hosesById(after);
    const tellsOf = (which: 'before' | 'after') => ({
      terms: new Set([...this.drivers.holding(which), ...this.vehicles.holding(which)]),
      marks: new Set([...this.drivers.marks(which), ...this.vehicles.marks(which)]),
    });
    this.tells = [tellsOf('before'), tellsOf('after')];
  }

  /** Compares two tables of one book and one horizon whole. A generator, so that whoever drives it can show how far it is, and stop it. */
  static *begin(before: Table, after: Table): Generator<Progress, LiveDifference> {
    const live = new LiveDifference(before, after);
    const found = live.spotsFor([...new Set([...live.hosesBefore.keys(), ...live.hosesAfter.keys()])]);
    for (const spots of sameMet(found)) {
      live.arrive(spots);
      yield { done: live.spots.length, of: found.length };
    }
    return live;
  }

  /**
   * Takes in a draft that was revised (`revisedTable`) from the last one. False where it was made anew: then nothing was done, and it must be
   * compared whole. Groups are to be asked for anew after it.
   */
  edit(after: Table): boolean {
    if (after.sorting !== this.after.sorting) return false;
    const was = this.after;
    this.after = after;
    this.edits++;
    this.forget();
    if (after.hoses !== was.hoses) this.moveHoses(was);
    const drivers = this.drivers.revised(after.driverOf);
    const vehicles = this.vehicles.revised(after.vehicleOf);
    const couples = this.couples.revised(this.before, after, this.drivers, this.vehicles);
    this.tell([...drivers.fresh, ...vehicles.fresh]);
    for (const spot of this.spots) {
      const hoses = spot.hoses.length;
      this.weighCouples(spot, couples.gone, -hoses);
      this.weighCouples(spot, couples.come, hoses);
      // Whom a card names with whom is not told cell by cell.
      for (const slot of this.tally.touched) spot.heard.delete(slot);
      this.move(spot, 'drivers', drivers.moves);
      this.move(spot, 'vehicles', vehicles.moves);
      this.note(spot);
    }
    return true;
  }

  /** Before an edit: what was found of groups that nobody asked about since the last one, and what may have changed unheard. */
  private forget(): void {
    for (const { heard: all } of this.spots) {
      for (const [slot, heard] of all)
        if (heard?.except.drivers.size || heard?.except.vehicles.size || (this.asked.size > 0 && !this.asked.has(slot)))
          all.delete(slot);
    }
    this.asked.clear();
  }

  /** Once the spots were weighed: the groups whose points there may have changed. */
  private note(...spots: readonly Spot[]): void {
    for (const slot of this.tally.touched) {
      this.groups.touch(slot);
      this.changed.set(slot, this.edits);
      for (const spot of spots) {
        spot.slots.add(slot);
      }
    }
    this.tally.touched.clear();
  }

  difference(): Difference {
    const days = weekdayCounts(this.before.horizon).reduce((a, b) => a + b, 0);
    const everybody = BigInt(this.drivers.people + 1) * BigInt(this.vehicles.people + 1) - 1n;
    const hoses = this.spots.reduce((n, s) => n + s.hoses.length, 0);
    return { ...this.groups.list(), looked: everybody * BigInt(hoses) * BigInt(days * 1440) };
  }

  /** How a joint class meets a spot, -1 where it may do nothing there in either table. */
  wayOf(spot: Spot, joint: Joint): number {
    const before = this.sides.of(this.before, joint.before, spot.before);
    const same = joint.before === joint.after && spot.before === spot.after;
    const after = same ? before : this.sides.of(this.after, joint.after, spot.after);
    return before.may || after.may ? this.ways.of(before, after) : -1;
  }

  /** The same for those who come with a card of their own: -1 also where they have no day. A card for two has days of its own. */
  private comingWay(spot: Spot, joint: Joint): number {
    const way = this.wayOf(spot, joint);
    return way === -1 || this.ways.isNever(way) ? -1 : way;
  }

  private spotsFor(ids: readonly string[]): Spot[] {
    const both = (id: string) => [this.hosesBefore.get(id) ?? null, this.hosesAfter.get(id) ?? null] as const;
    return spotsOf(new Map(ids.map((id) => [id, both(id)])), [this.before, this.after], this.tells, this.weeks);
  }

  /** Lets everybody come to empty spots at which all meet the same, and counts them. Where another is known to be met alike, as there. */
  private arrive(spots: readonly Spot[], like: Spot | null = null): void {
    const first = spots[0] as Spot;
    if (like?.parts === first.parts) {
      first.drivers = like.drivers.copy();
      first.vehicles = like.vehicles.copy();
    } else {
      first.drivers = this.crowdAt(first, this.drivers);
      first.vehicles = this.crowdAt(first, this.vehicles);
    }
    for (const spot of spots.slice(1)) {
      spot.drivers = first.drivers.copy();
      spot.vehicles = first.vehicles.copy();
    }
    for (const alike of sameTogether(spots)) {
      const hoses = alike.reduce((n, s) => n + s.hoses.length, 0);
      this.weighTogether(alike[0] as Spot, first.drivers, first.vehicles, hoses);
      this.note(...alike);
    }
    for (const spot of spots) {
      this.weighAlone(spot, 'drivers', spot.drivers, spot.hoses.length);
      this.weighAlone(spot, 'vehicles', spot.vehicles, spot.hoses.length);
      this.weighCouples(spot, this.couples.groups.values(), spot.hoses.length);
      this.note(spot);
      this.spots.push(spot);
    }
  }

  /** Those of one side who come to a spot. */
  crowdAt(spot: Spot, parties: JointParties): Crowd {
    const counts = new Map<number, number>();
    const joints = new Map<number, number[]>();
    for (const n of parties.coming((terms, which) => covers(terms, spot[which]))) {
      const joint = parties.list[n] as Joint;
      const way = this.comingWay(spot, joint);
      if (way === -1) continue;
      counts.set(way, (counts.get(way) ?? 0) + joint.members.length);
      const list = joints.get(way);
      if (list) list.push(n);
      else joints.set(way, [n]);
    }
    return Crowd.of(this.ways, spot.parts, counts, joints);
  }

  /** Counts a spot for a number of hoses; a negative number takes it out. */
  private weigh(spot: Spot, hoses: number): void {
    this.weighTogether(spot, spot.drivers, spot.vehicles, hoses);
    this.weighAlone(spot, 'drivers', spot.drivers, hoses);
    this.weighAlone(spot, 'vehicles', spot.vehicles, hoses);
    this.weighCouples(spot, this.couples.groups.values(), hoses);
  }

  private weighTogether(spot: Spot, drivers: Crowd, vehicles: Crowd, hoses: number): void {
    for (let part = 0; part < spot.parts.count; part++)
      this.compare.crowds(spot, part, drivers, vehicles, this.adds.at(spot, part), hoses);
  }

  private weighAlone(spot: Spot, side: 'drivers' | 'vehicles', crowd: Crowd, hoses: number): void {
    for (let part = 0; part < spot.parts.count; part++)
      this.compare.alone(spot, part, side, crowd, this.adds.at(spot, part), hoses);
  }

  private weighCouples(spot: Spot, groups: Iterable<CoupleGroup>, hoses: number): void {
    for (const group of groups) {
      const x = this.wayOf(spot, this.drivers.list[group.driver] as Joint);
      const y = this.wayOf(spot, this.vehicles.list[group.vehicle] as Joint);
      if (x === -1 || y === -1) continue;
      const [xs, ys] = [this.ways.cellsOf(x, spot.parts), this.ways.cellsOf(y, spot.parts)];
      for (let part = 0; part < spot.parts.count; part++) {
        const adds = this.adds.at(spot, part);
        this.compare.couple(spot, xs[part] as number, ys[part] as number, group, group.couples.length * hoses, adds);
      }
    }
  }

  /** People go from one joint class to another: their pairs are counted anew, nobody else's. */
  private move(spot: Spot, side: 'drivers' | 'vehicles', moves: readonly Move[]): void {
    const counts = new Map<number, number>();
    const joints = new Map<number, number>();
    const put = (n: number, people: number) => {
      const way = n === -1 ? -1 : this.comingWay(spot, this[side].list[n] as Joint);
      if (way === -1) return;
      counts.set(way, (counts.get(way) ?? 0) + people);
      if (people > 0) joints.set(n, way);
    };
    for (const { from, to, people } of moves) {
      put(from, -people);
      put(to, people);
    }
    spot[side].enter(joints);
    for (const [way, n] of counts) if (n === 0) counts.delete(way);
    if (counts.size === 0) return;
    const change = Crowd.of(this.ways, spot.parts, counts, new Map());
    const [drivers, vehicles] = side === 'drivers' ? [change, spot.vehicles] : [spot.drivers, change];
    // What was found at the spot stays right: pairs with a cell that people come to are heard of, and where a cell is left it is forgotten.
    this.adds.tell(spot.heard);
    this.weighTogether(spot, drivers, vehicles, spot.hoses.length);
    this.weighAlone(spot, side, change, spot.hoses.length);
    this.adds.tell(null);
    // Of so few in a cell one of the other side may meet only those with whom a card names them.
    const few = this.couples.most[side === 'drivers' ? 'vehicles' : 'drivers'];
    spot[side].add(change, few, (part, cell) => {
      for (const [slot, heard] of spot.heard) if (heard?.[side].has(part, cell)) spot.heard.delete(slot);
    });
  }

  /** Hoses that are not what they were leave their spot for one of their own. */
  private moveHoses(was: Table): void {
    const now = hosesById(this.after);
    const words = new Map<HoseClass | undefined, string>();
    const wordOf = (table: Table, hose: HoseClass | undefined) => {
      let word = words.get(hose);
      if (word === undefined) {
        word = `${hose?.site} ${hose?.product} ${placeOf(table, hose ?? null).key}`;
        words.set(hose, word);
      }
      return word;
    };
    const moved = new Set<string>();
    for (const id of new Set([...now.keys(), ...this.hosesAfter.keys()]))
      if (wordOf(was, this.hosesAfter.get(id)) !== wordOf(this.after, now.get(id))) moved.add(id);
    // Hoses whose closed days changed, or who must identify themselves there, are met as at the spot that they leave.
    const metAs = new Map<string, Spot>();
    const met = (hose: HoseClass | undefined) => `${hose?.site} ${hose?.product} ${hose?.mostPerFill}`;
    const metAlike = (id: string) => met(this.hosesAfter.get(id)) === met(now.get(id));
    const alike = new Set([...moved].filter(metAlike));
    this.hosesAfter = now;
    if (moved.size === 0) return;
    for (const spot of this.spots) {
      const leaving = spot.hoses.filter((id) => moved.has(id)).length;
      if (leaving === 0) continue;
      for (const id of spot.hoses) if (alike.has(id)) metAs.set(id, spot);
      this.weigh(spot, -leaving);
      this.note(spot);
      this.stand(
        spot,
        spot.hoses.filter((id) => !moved.has(id)),
      );
    }
    this.spots = this.spots.filter((s) => s.hoses.length > 0);
    const there = [...moved].filter((id) => now.has(id) || this.hosesBefore.has(id));
    for (const spots of sameMet(this.spotsFor(there)))
      this.arrive(spots, metAs.get((spots[0] as Spot).hoses[0] as string));
  }

  /** Allowances and lists of sites that nobody had until now may tell the hoses of a spot apart, and cut its week finer. */
  private tell(fresh: readonly Joint[]): void {
    const [, { terms, marks }] = this.tells;
    for (const { after } of fresh) {
      for (const t of after?.list.terms ?? []) {
        if (terms.has(t)) continue;
        terms.add(t);
        this.split((hose) => covers(t, hose));
        const window = this.weeks.windowOf(t);
        for (const spot of this.spots) {
          if (!covers(t, spot.after) || spot.windows.has(window)) continue;
          spot.windows.add(window);
          this.cut(spot);
        }
      }
      const sites = after?.sites;
      if (!sites || marks.has(sites)) continue;
      marks.add(sites);
      this.split((hose) => hose !== null && sites[hose.site] === 1);
    }
  }

  private split(tells: (hose: HoseClass | null) => boolean): void {
    for (const spot of [...this.spots]) {
      const [yes, no]: [string[], string[]] = [[], []];
      for (const id of spot.hoses) (tells(this.hosesAfter.get(id) ?? null) ? yes : no).push(id);
      if (yes.length === 0 || no.length === 0) continue;
      const other = copyOf(spot);
      this.stand(spot, no);
      this.stand(other, yes);
      this.spots.push(other);
    }
  }

  /** The hoses of a spot are these from now on. */
  private stand(spot: Spot, hoses: string[]): void {
    spot.hoses = hoses;
    spot.before = this.hosesBefore.get(hoses[0] as string) ?? null;
    spot.after = this.hosesAfter.get(hoses[0] as string) ?? null;
  }

  private cut(spot: Spot): void {
    const parts = this.weeks.of(spot.windows);
    const old = spot.parts;
    if (parts === old) return;
    const from = parts.minute.map((m) => old.stretches.findIndex((list) => list.some((s) => s.from <= m && m < s.to)));
    spot.parts = parts;
    spot.heard.clear();
    spot.drivers.refine(from);
    spot.vehicles.refine(from);
  }
}
