import { type Stretch, WEEK_MINUTES } from '../fleet/index.ts';
import { minutesOn } from './adds.ts';
import type { Difference, Progress } from './change.ts';
import type { Compare, Hears } from './compare.ts';
import { type CoupleGroup, JointCouples } from './couples.ts';
import { Crowd } from './crowd.ts';
import { type DayBook, weekdayCounts } from './days.ts';
import { Group } from './group.ts';
import { type Joint, JointParties } from './joint.ts';
import type { LiveDifference } from './live.ts';
import type { Alone, Looked } from './look.ts';
import { clipped, type Parts } from './parts.ts';
import { covers, type Spot } from './spot.ts';
import type { Table } from './table.ts';
import { type ChangeKind, KINDS, type Slots, Tally } from './tally.ts';
import { type Side, type Touched, touchedIn } from './touched.ts';
import type { Ways } from './ways.ts';

/** Some drivers or vehicles: these alone, or all but these with 'nobody' among them. */
export type Some = { readonly only: ReadonlySet<string> } | { readonly but: ReadonlySet<string> };

/** A part of all points: some drivers with some vehicles, at some hoses, of one product, in one stretch of the week. Null is all of them, with 'nobody' among them. */
export interface Section {
  readonly drivers: Some | null;
  readonly vehicles: Some | null;
  readonly hoses: ReadonlySet<string> | null;
  readonly product: string | null;
  readonly span: Stretch | null;
}

/** Minutes of the week [from, to) in each of which as many points change so, over all days and hoses looked at. */
export interface ChangedStretch extends Readonly<Record<ChangeKind, number>> {
  readonly from: number;
  readonly to: number;
}

/** A difference of which one part was looked at, with the minutes of the week in which it lies. */
export interface Narrowed extends Difference {
  /** By product; together the stretches of one cover the week, neighbours differ. */
  readonly weeks: ReadonlyMap<string, readonly ChangedStretch[]>;
  /** Points by hose. */
  readonly hoses: ReadonlyMap<string, Readonly<Record<ChangeKind, number>>>;
  /** Whom it touches, worked out when asked. */
  touched(): Touched;
}

/**
 * The difference within sections that share no point: exact, as the whole one is, and cheap where few are asked for. Like its groups it speaks
 * of the draft as it is now, and must be read before the next edit. A generator, so that whoever drives it can show how far it is.
 */
export function* narrowed(live: LiveDifference, sections: readonly Section[]): Generator<Progress, Narrowed> {
  const weeks = new Map<string, Float64Array[]>();
  const hoses = new Map<string, Record<ChangeKind, number>>();
  const groups: Group[] = [];
  const points: Record<ChangeKind, bigint> = { gained: 0n, lost: 0n, raised: 0n, lowered: 0n };
  let looked = 0n;
  const cuts = sections.map((section) => new Cut(live, section));
  for (const [n, cut] of cuts.entries()) {
    for (const spot of cut.spots) {
      cut.weigh(spot, weeks, hoses);
      yield { done: n * live.spots.length + cut.weighed++, of: sections.length * live.spots.length };
    }
    for (const [slot, key] of cut.tally.keys.entries()) {
      const sum = cut.tally.points(slot);
      if (sum === 0n) continue;
      points[key.kind] += sum;
      groups.push(new Group(cut, slot, key, sum));
    }
    looked += cut.looked();
  }
  groups.sort((a, b) => b.rank - a.rank || Number(b.points - a.points));
  const touched = (): Touched => {
    const found = cuts.map((cut) => cut.touched());
    const of = (side: Side) => new Set(found.flatMap((t) => [...t[side]]));
    return { drivers: of('drivers'), vehicles: of('vehicles') };
  };
  const told = new Map([...weeks].map(([product, sums]) => [product, stretchesOf(sums)]));
  return { groups, points, looked, weeks: told, hoses, touched };
}

/** One section of a difference: the same spots with fewer people at them. */
class Cut implements Looked {
  readonly alone: Alone;
  readonly before: Table;
  readonly after: Table;
  readonly ways: Ways;
  readonly compare: Compare;
  readonly spots: readonly Spot[];
  readonly drivers: JointParties;
  readonly vehicles: JointParties;
  readonly couples: JointCouples;
  readonly tally = new Tally();
  readonly asked = new Set<number>();
  weighed = 0;
  private readonly live: LiveDifference;
  private readonly section: Section;

  constructor(live: LiveDifference, section: Section) {
    this.live = live;
    this.section = section;
    const { before, after } = live;
    this.before = before;
    this.after = after;
    this.ways = live.ways;
    this.compare = live.compare;
    const { drivers, vehicles } = section;
    this.alone = { drivers: hasNobody(vehicles), vehicles: hasNobody(drivers) };
    this.drivers = drivers
      ? new JointParties(some(before.driverOf, drivers), some(after.driverOf, drivers))
      : live.drivers;
    this.vehicles = vehicles
      ? new JointParties(some(before.vehicleOf, vehicles), some(after.vehicleOf, vehicles))
      : live.vehicles;
    const coupled = (table: Table): Table => ({
      ...table,
      couples: table.couples.filter((c) => isOf(drivers, c.driverId) && isOf(vehicles, c.vehicleId)),
    });
    this.couples = new JointCouples(coupled(before), coupled(after), this.drivers, this.vehicles);
    const parts = new Map<Parts, Parts>();
    this.spots = live.spots.flatMap((spot) => this.narrow(spot, parts));
  }

  wayOf(spot: Spot, joint: Joint): number {
    return this.live.wayOf(spot, joint);
  }

  touched(): Touched {
    return touchedIn(this, (side, id) => {
      const one = new Cut(this.live, { ...this.section, [side]: { only: new Set([id]) } });
      for (const spot of one.spots) one.weigh(spot, new Map(), new Map());
      return one.tally.keys.some((_, slot) => one.tally.points(slot) !== 0n);
    });
  }

  /** Every combination of the section over the horizon. */
  looked(): bigint {
    const { from, to } = this.section.span ?? { from: 0, to: WEEK_MINUTES };
    const minutes = weekdayCounts(this.before.horizon).reduce(
      (sum, days, w) => sum + days * Math.max(0, Math.min(to, (w + 1) * 1440) - Math.max(from, w * 1440)),
      0,
    );
    const hoses = this.spots.reduce((n, s) => n + s.hoses.length, 0);
    const { drivers: noVehicle, vehicles: noDriver } = this.alone;
    const people = (parties: JointParties, nobody: boolean) => BigInt(parties.people + (nobody ? 1 : 0));
    const pairs = people(this.drivers, noDriver) * people(this.vehicles, noVehicle);
    return (pairs - (noDriver && noVehicle ? 1n : 0n)) * BigInt(hoses) * BigInt(minutes);
  }

  /** Counts one of the spots, and adds what it counts to the week of its product and to its hoses. */
  weigh(spot: Spot, weeks: Map<string, Float64Array[]>, perHose: Map<string, Record<ChangeKind, number>>): void {
    const hears = new Sums(this.tally.of(spot.product), this.tally, this.before.book.days);
    const hoses = spot.hoses.length;
    const couples = [...this.couples.groups.values()].flatMap((group) => this.cellsOf(spot, group));
    for (let part = 0; part < spot.parts.count; part++) {
      hears.at(spot.parts, part);
      this.compare.crowds(spot, part, spot.drivers, spot.vehicles, hears, hoses);
      if (this.alone.drivers) this.compare.alone(spot, part, 'drivers', spot.drivers, hears, hoses);
      if (this.alone.vehicles) this.compare.alone(spot, part, 'vehicles', spot.vehicles, hears, hoses);
      for (const { group, xs, ys } of couples)
        this.compare.couple(spot, xs[part] as number, ys[part] as number, group, group.couples.length * hoses, hears);
      hears.spread(weeks, spot.product);
    }
    for (const slot of this.tally.touched) spot.slots.add(slot);
    this.tally.touched.clear();
    // Nothing tells the hoses of a spot apart, so each has the same part.
    const [gained, lost, raised, lowered] = hears.points.map((n) => n / hoses) as [number, number, number, number];
    for (const id of spot.hoses) {
      const had = perHose.get(id) ?? { gained: 0, lost: 0, raised: 0, lowered: 0 };
      perHose.set(id, {
        gained: had.gained + gained,
        lost: had.lost + lost,
        raised: had.raised + raised,
        lowered: had.lowered + lowered,
      });
    }
  }

  private cellsOf(spot: Spot, group: CoupleGroup) {
    const x = this.wayOf(spot, this.drivers.list[group.driver] as Joint);
    const y = this.wayOf(spot, this.vehicles.list[group.vehicle] as Joint);
    if (x === -1 || y === -1) return [];
    return [{ group, xs: this.ways.cellsOf(x, spot.parts), ys: this.ways.cellsOf(y, spot.parts) }];
  }

  /** `made` holds the parts of the week that were cut to the section's stretch, by what they were. */
  private narrow(spot: Spot, made: Map<Parts, Parts>): Spot[] {
    const { hoses: wanted, product, drivers, vehicles, span } = this.section;
    const hoses = wanted ? spot.hoses.filter((id) => wanted.has(id)) : spot.hoses;
    if (hoses.length === 0 || (product !== null && spot.product !== product)) return [];
    const parts = span ? (made.get(spot.parts) ?? clipped(spot.parts, span)) : spot.parts;
    made.set(spot.parts, parts);
    const at = { ...spot, parts };
    return [
      {
        ...at,
        hoses,
        drivers: drivers || span ? this.come(at, this.drivers) : spot.drivers,
        vehicles: vehicles || span ? this.come(at, this.vehicles) : spot.vehicles,
        slots: new Set(),
        heard: new Map(),
      },
    ];
  }

  private come(spot: Spot, parties: JointParties): Crowd {
    const counts = new Map<number, number>();
    const joints = new Map<number, number[]>();
    for (const n of parties.coming((terms, which) => covers(terms, spot[which]))) {
      const joint = parties.list[n] as Joint;
      const way = this.wayOf(spot, joint);
      if (way === -1) continue;
      counts.set(way, (counts.get(way) ?? 0) + joint.members.length);
      joints.set(way, [...(joints.get(way) ?? []), n]);
    }
    return Crowd.of(this.ways, spot.parts, counts, joints);
  }
}

const isOf = (some: Some | null, id: string): boolean =>
  some === null || ('only' in some ? some.only.has(id) : !some.but.has(id));
const hasNobody = (some: Some | null): boolean => some === null || 'but' in some;

function some<P>(of: ReadonlyMap<string, P>, wanted: Some): ReadonlyMap<string, P> {
  if ('but' in wanted) return new Map([...of].filter(([id]) => !wanted.but.has(id)));
  const found = new Map<string, P>();
  for (const id of wanted.only) {
    const party = of.get(id);
    if (party) found.set(id, party);
  }
  return found;
}

/** Adds up what it hears of one part of the week, by group and by day of the week. */
class Sums implements Hears {
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
  spread(weeks: Map<string, Float64Array[]>, product: string): void {
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
function stretchesOf(steps: readonly Float64Array[]): ChangedStretch[] {
  const now = KINDS.map(() => 0);
  const found: (ChangedStretch & { to: number })[] = [];
  for (let minute = 0; minute < WEEK_MINUTES; minute++) {
    let moved = minute === 0;
    for (const [kind, step] of steps.entries()) {
      const by = step[minute] as number;
      if (by !== 0) moved = true;
      now[kind] = (now[kind] as number) + by;
    }
    const last = found.at(-1);
    const [gained, lost, raised, lowered] = now as [number, number, number, number];
    const same = (s: ChangedStretch) =>
      s.gained === gained && s.lost === lost && s.raised === raised && s.lowered === lowered;
    if (!moved || (last && same(last))) {
      if (last) last.to = minute + 1;
    } else found.push({ from: minute, to: minute + 1, gained, lost, raised, lowered });
  }
  return found;
}
