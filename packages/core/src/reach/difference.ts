import { LEAST_USEFUL } from '../decide/index.ts';
import { type Days, intersect, union, weekdayCounts, without } from './days.ts';
import { type Joint, jointCouples, jointHoses, jointParties } from './joint.ts';
import { NOBODY, placeOf, type Side, sideOf, together } from './sides.ts';
import { type Steps, walk } from './steps.ts';
import type { HoseClass, PartyClass, Table } from './table.ts';

export type ChangeKind = 'gained' | 'lost' | 'raised' | 'lowered';

/** One point at which a change shows: who, where, when by the site's wall. */
export interface Witness {
  readonly driver: string | null;
  readonly vehicle: string | null;
  readonly hose: string;
  /** Days since 1970-01-01 and minute of that day. */
  readonly day: number;
  readonly minute: number;
  /** Microlitres; 0 is nothing. */
  readonly before: number;
  readonly after: number;
}

/** Everything that changed for one reason: the same kind, product, and deciding rules before and after. */
export interface ChangeGroup {
  readonly kind: ChangeKind;
  readonly product: string;
  /** Reasons by index in the tables' book; -1 where there was or is no access at all. */
  readonly whyBefore: number;
  readonly whyAfter: number;
  /** Points: (driver or nobody, vehicle or nobody, hose, day, minute) whose limit changed so. */
  points: bigint;
  readonly drivers: Set<string>;
  readonly vehicles: Set<string>;
  readonly sites: Set<string>;
  readonly hoses: Set<string>;
  /** Least and most litres-in-microlitres before and after, over the group. */
  before: [number, number];
  after: [number, number];
  readonly witness: Witness;
}

export interface Difference {
  readonly groups: readonly ChangeGroup[];
  readonly points: Readonly<Record<ChangeKind, bigint>>;
  /** Points that could change: every combination over the horizon. */
  readonly looked: bigint;
}

export interface Progress {
  readonly done: number;
  readonly of: number;
}

interface Signature {
  readonly before: Side;
  readonly after: Side;
  readonly changed: boolean;
  readonly ids: string[];
  readonly key: string;
}

const sideKey = (s: Side) =>
  `${s.present ? 1 : 0}${s.may ? 1 : 0}${s.party ? 1 : 0} ${s.steps?.id ?? -1} ${s.days.join()}`;

const NO_ONE: Signature = { before: NOBODY, after: NOBODY, changed: false, ids: [], key: 'nobody' };

/** Joint parties as they meet one hose, those that meet it alike together; nobody is one of them. */
function signatures(
  before: Table,
  after: Table,
  parties: readonly Joint<PartyClass>[],
  hose: Joint<HoseClass>,
): Signature[] {
  const found = new Map<string, Signature>();
  for (const p of parties) {
    const b = sideOf(before, p.before, hose.before);
    const a = sideOf(after, p.after, hose.after);
    if (!b.may && !a.may) continue;
    const [kb, ka] = [sideKey(b), sideKey(a)];
    const key = `${kb}|${ka}`;
    const known = found.get(key);
    if (known) for (const id of p.members) known.ids.push(id);
    else found.set(key, { before: b, after: a, changed: kb !== ka, ids: [...p.members], key });
  }
  return [...found.values()];
}

/**
 * Everything that changes between two tables of one book and one horizon: complete and counted. A generator, so that whoever drives it can
 * show how far it is, and stop it; it returns the difference.
 */
export function* differenceOf(before: Table, after: Table): Generator<Progress, Difference> {
  const groups = new Map<string, ChangeGroup>();
  const points: Record<ChangeKind, bigint> = { gained: 0n, lost: 0n, raised: 0n, lowered: 0n };
  const hoses = jointHoses(before, after);
  const drivers = jointParties(before.driverOf, after.driverOf);
  const vehicles = jointParties(before.vehicleOf, after.vehicleOf);
  const couples = jointCouples(before, after, (a, b) => union([...pairs(a), ...pairs(b)]));
  const coupled = new Set(couples.map((c) => `${c.driver} ${c.vehicle}`));
  const horizon = weekdayCounts(before.horizon).reduce((a, b) => a + b, 0);
  const everybody = BigInt(count(drivers) + 1) * BigInt(count(vehicles) + 1) - 1n;
  const looked = everybody * BigInt(hoses.reduce((n, h) => n + h.members.length, 0)) * BigInt(horizon * 1440);

  for (const [n, hose] of hoses.entries()) {
    const here = new Meeting(before, after, hose, groups, points, coupled);
    const d = signatures(before, after, drivers, hose);
    const v = signatures(before, after, vehicles, hose);
    const moved = here.changed || d.some((s) => s.changed) || v.some((s) => s.changed);
    if (moved) {
      for (const x of [NO_ONE, ...d]) {
        for (const y of [NO_ONE, ...v]) {
          if ((x.changed || y.changed || here.changed) && !(x === NO_ONE && y === NO_ONE)) here.meet(x, y);
        }
      }
    }
    if (couples.length > 0) here.couples(couples, d, v);
    if (n % 16 === 0) yield { done: n, of: hoses.length };
  }
  const list = [...groups.values()]
    .filter((g) => g.points !== 0n)
    .sort((a, b) => (a.points < b.points ? 1 : a.points > b.points ? -1 : 0));
  return { groups: list, points, looked };
}

const count = (list: readonly Joint<PartyClass>[]) => list.reduce((n, p) => n + p.members.length, 0);

function* pairs(days: Days): Generator<[number, number]> {
  for (let i = 0; i < days.length; i += 2) yield [days[i] as number, days[i + 1] as number];
}

/** One joint hose, and everybody who meets it. */
class Meeting {
  readonly changed: boolean;
  private readonly tables: readonly [Table, Table];
  private readonly hose: Joint<HoseClass>;
  private readonly places;
  private readonly groups: Map<string, ChangeGroup>;
  private readonly points: Record<ChangeKind, bigint>;
  private readonly product: string;
  private readonly coupled: ReadonlySet<string>;
  private readonly site: string;

  constructor(
    before: Table,
    after: Table,
    hose: Joint<HoseClass>,
    groups: Map<string, ChangeGroup>,
    points: Record<ChangeKind, bigint>,
    coupled: ReadonlySet<string>,
  ) {
    this.coupled = coupled;
    this.tables = [before, after];
    this.hose = hose;
    this.places = [placeOf(before, hose.before), placeOf(after, hose.after)] as const;
    this.groups = groups;
    this.points = points;
    const known = (hose.after ?? hose.before) as HoseClass;
    this.product = known.members[0]?.row.product ?? '';
    this.site = known.siteId;
    const [b, a] = this.places;
    const asks = (p: typeof b) => [true, false].flatMap((x) => [true, false].map((y) => p.identifies(x, y))).join();
    this.changed =
      b.open !== a.open || b.most?.id !== a.most?.id || b.closed.join() !== a.closed.join() || asks(b) !== asks(a);
  }

  /** Everybody of `x` with everybody of `y`, by cards of their own. */
  meet(x: Signature, y: Signature): void {
    this.compare(
      x,
      y,
      Math.max(1, x.ids.length) * Math.max(1, y.ids.length),
      x.ids,
      y.ids,
      daysOf(x.before, y.before),
      daysOf(x.after, y.after),
    );
  }

  /**
   * A card that names both presents a pair that may also be presented by two cards: the pair's days are the union. The pairs were counted
   * with the days of two cards; here that count is taken back and the right one added.
   */
  couples(
    list: readonly { driver: string; vehicle: string; before: Days; after: Days }[],
    d: readonly Signature[],
    v: readonly Signature[],
  ): void {
    const of = (signatures: readonly Signature[]) =>
      new Map(signatures.flatMap((s) => s.ids.map((id) => [id, s] as const)));
    const [drivers, vehicles] = [of(d), of(v)];
    const alike = new Map<
      string,
      { x: Signature; y: Signature; before: Days; after: Days; xs: string[]; ys: string[] }
    >();
    for (const c of list) {
      const x = drivers.get(c.driver);
      const y = vehicles.get(c.vehicle);
      if (!x || !y) continue;
      const key = `${x.key}/${y.key}/${c.before.join()}/${c.after.join()}`;
      let group = alike.get(key);
      if (!group) {
        group = { x, y, before: c.before, after: c.after, xs: [], ys: [] };
        alike.set(key, group);
      }
      group.xs.push(c.driver);
      group.ys.push(c.vehicle);
    }
    for (const { x, y, before, after, xs, ys } of alike.values()) {
      const [ownBefore, ownAfter] = [daysOf(x.before, y.before), daysOf(x.after, y.after)];
      const allBefore = union([...pairs(ownBefore), ...pairs(before)]);
      const allAfter = union([...pairs(ownAfter), ...pairs(after)]);
      if (x.changed || y.changed || this.changed) this.compare(x, y, -xs.length, [], [], ownBefore, ownAfter);
      this.compare(x, y, xs.length, xs, ys, allBefore, allAfter);
    }
  }

  private compare(
    x: Signature,
    y: Signature,
    times: number,
    xs: readonly string[],
    ys: readonly string[],
    daysBefore: Days,
    daysAfter: Days,
  ): void {
    const [pb, pa] = this.places;
    const old = together(this.tables[0], pb, x.before, y.before);
    const next = together(this.tables[1], pa, x.after, y.after);
    if (old === null && next === null) return;
    const db = old === null ? [] : without(daysBefore, pb.closed);
    const da = next === null ? [] : without(daysAfter, pa.closed);
    const who = { xs, ys, times };
    if (old !== null && next !== null) {
      const both = intersect(db, da);
      if (both.length > 0 && old !== next) this.contrast(old, next, both, who);
    }
    if (old !== null) this.contrast(old, null, without(db, da), who);
    if (next !== null) this.contrast(null, next, without(da, db), who);
  }

  private contrast(
    old: Steps | null,
    next: Steps | null,
    days: Days,
    who: { xs: readonly string[]; ys: readonly string[]; times: number },
  ): void {
    if (days.length === 0) return;
    const weekdays = weekdayCounts(days);
    const blank = { id: -1, from: [0], room: [0], why: [-1] };
    walk(old ?? blank, next ?? blank, (start, i, j, end) => {
      const before = useful(((old ?? blank).room[i] ?? 0) as number);
      const after = useful(((next ?? blank).room[j] ?? 0) as number);
      if (before === after) return;
      let minutes = 0;
      let first: { weekday: number; minute: number } | null = null;
      for (let w = Math.floor(start / 1440); w * 1440 < end; w++) {
        const [from, to] = [Math.max(start, w * 1440), Math.min(end, (w + 1) * 1440)];
        if ((weekdays[w] as number) > 0) first ??= { weekday: w, minute: from - w * 1440 };
        minutes += (to - from) * (weekdays[w] as number);
      }
      if (minutes === 0 || first === null) return;
      const kind: ChangeKind = before === 0 ? 'gained' : after === 0 ? 'lost' : after > before ? 'raised' : 'lowered';
      this.add(kind, old?.why[i] ?? -1, next?.why[j] ?? -1, before, after, minutes, days, first, who);
    });
  }

  /** The first pair that no card names together: only of those are these days the whole truth. */
  private pairOf(who: { xs: readonly string[]; ys: readonly string[] }): {
    driver: string | null;
    vehicle: string | null;
  } {
    for (const driver of who.xs) {
      const vehicle = who.ys.find((id) => !this.coupled.has(`${driver} ${id}`));
      if (vehicle !== undefined) return { driver, vehicle };
    }
    return { driver: who.xs[0] ?? null, vehicle: who.ys[0] ?? null };
  }

  private add(
    kind: ChangeKind,
    whyBefore: number,
    whyAfter: number,
    before: number,
    after: number,
    minutes: number,
    days: Days,
    first: { weekday: number; minute: number },
    who: { xs: readonly string[]; ys: readonly string[]; times: number },
  ): void {
    const amount = BigInt(minutes) * BigInt(who.times) * BigInt(this.hose.members.length);
    this.points[kind] += amount;
    const key = `${kind} ${this.product} ${whyBefore} ${whyAfter}`;
    let group = this.groups.get(key);
    if (!group) {
      group = {
        kind,
        product: this.product,
        whyBefore,
        whyAfter,
        points: 0n,
        drivers: new Set(),
        vehicles: new Set(),
        sites: new Set(),
        hoses: new Set(),
        before: [before, before],
        after: [after, after],
        witness: {
          ...this.pairOf(who),
          hose: this.hose.members[0] as string,
          day: firstDay(days, first.weekday),
          minute: first.minute,
          before,
          after,
        },
      };
      this.groups.set(key, group);
    }
    group.points += amount;
    if (who.times < 0) return;
    for (const id of who.xs) group.drivers.add(id);
    for (const id of who.ys) group.vehicles.add(id);
    for (const id of this.hose.members) group.hoses.add(id);
    group.sites.add(this.site);
    group.before = [Math.min(group.before[0], before), Math.max(group.before[1], before)];
    group.after = [Math.min(group.after[0], after), Math.max(group.after[1], after)];
  }
}

const useful = (room: number): number => (room < LEAST_USEFUL ? 0 : room);

/** Days on which both stand there with cards of their own; whoever is not there sets no date. */
function daysOf(driver: Side, vehicle: Side): Days {
  if (!driver.present) return vehicle.days;
  return vehicle.present ? intersect(driver.days, vehicle.days) : driver.days;
}

function firstDay(days: Days, weekday: number): number {
  for (const [from, until] of pairs(days)) {
    for (let day = from; day <= Math.min(until, from + 6); day++) if ((((day + 3) % 7) + 7) % 7 === weekday) return day;
  }
  return days[0] as number;
}
