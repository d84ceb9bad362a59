import { LEAST_USEFUL } from '../decide/index.ts';
import { weekdayOf } from '../units/index.ts';
import type { Signature } from './comers.ts';
import { type DayBook, type Days, pairsOf } from './days.ts';
import type { Joint, JointCouple } from './joint.ts';
import { type Place, type Side, type Sides, together } from './sides.ts';
import { type Steps, walk } from './steps.ts';
import type { HoseClass, Table } from './table.ts';

export const KINDS = ['gained', 'lost', 'raised', 'lowered'] as const;
export type ChangeKind = (typeof KINDS)[number];

/** Joint hoses that everybody meets alike. */
export interface Spot {
  readonly hoses: Joint<HoseClass>[];
  readonly places: readonly [Place, Place];
  readonly product: string;
  readonly changed: boolean;
  readonly drivers: readonly Signature[];
  readonly vehicles: readonly Signature[];
}

/** What changed at one spot for one reason. */
export interface SpotChange {
  readonly kind: ChangeKind;
  readonly whyBefore: number;
  readonly whyAfter: number;
  readonly spot: Spot;
  /** (driver, vehicle, minute) points at one hose of the spot: below 2^53, for it is at most pairs x minutes of the horizon. */
  points: number;
  readonly drivers: Set<Signature>;
  readonly vehicles: Set<Signature>;
  /** Single people beside the signatures: those of cards that name a pair. */
  readonly singles: Set<string>;
  before: [number, number];
  after: [number, number];
  readonly witness: {
    driver: string | null;
    vehicle: string | null;
    day: number;
    minute: number;
    before: number;
    after: number;
  };
}

/** A stretch of the week on which two step functions differ, over some days. */
interface Contrast {
  readonly kind: number;
  readonly whyBefore: number;
  readonly whyAfter: number;
  readonly before: number;
  readonly after: number;
  readonly minutes: number;
  readonly day: number;
  readonly minute: number;
  /** What it adds to, once somebody showed it. */
  change: SpotChange | null;
}

interface Who {
  readonly x: Signature;
  readonly y: Signature;
  readonly times: number;
  /** Set where the pair is one that a card names. */
  readonly pair?: readonly [string, string];
}

const NEVER: Steps = { id: -1, from: [0], room: [0], why: [-1], top: 0 };
const NO_COUPLES: ReadonlySet<string> = new Set();

/** Compares everybody with everybody at one spot. */
export class SpotCompare {
  readonly changes = new Map<number, SpotChange>();
  private readonly tables: readonly [Table, Table];
  private readonly spot: Spot;
  private readonly sides: Sides;
  private readonly days: DayBook;
  private readonly closed: readonly [number, number];
  /** By days, then by the ids of the two step functions. */
  private readonly contrasts: Map<number, readonly Contrast[]>[][] = [];
  private readonly coupled: ReadonlySet<string>;

  constructor(tables: readonly [Table, Table], spot: Spot, sides: Sides, coupled: ReadonlySet<string> = NO_COUPLES) {
    this.tables = tables;
    this.spot = spot;
    this.sides = sides;
    this.days = sides.days;
    this.closed = [sides.days.keep(spot.places[0].closed), sides.days.keep(spot.places[1].closed)];
    this.coupled = coupled;
  }

  everybody(noOne: Signature): void {
    const all = [noOne, ...this.spot.vehicles];
    const moved = all.filter((y) => y.changed);
    for (const x of [noOne, ...this.spot.drivers]) {
      for (const y of x.changed || this.spot.changed ? all : moved) {
        if (x === noOne && y === noOne) continue;
        const times = Math.max(1, x.ids.length) * Math.max(1, y.ids.length);
        this.compare({ x, y, times }, this.daysOf(x.before, y.before), this.daysOf(x.after, y.after));
      }
    }
  }

  /**
   * A card that names both presents a pair that may also be presented by two cards: the pair's days are the union. The pair was counted with
   * the days of two cards; here that count is taken back and the right one added.
   */
  couples(list: readonly JointCouple[]): void {
    const of = (signatures: readonly Signature[]) =>
      new Map(signatures.flatMap((s) => s.ids.map((id) => [id, s] as const)));
    const [drivers, vehicles] = [of(this.spot.drivers), of(this.spot.vehicles)];
    for (const c of list) {
      const x = drivers.get(c.driver);
      const y = vehicles.get(c.vehicle);
      if (!x || !y) continue;
      const own = [this.daysOf(x.before, y.before), this.daysOf(x.after, y.after)] as const;
      if (x.changed || y.changed || this.spot.changed)
        this.compare({ x, y, times: -1, pair: [c.driver, c.vehicle] }, own[0], own[1]);
      const [before, after] = [this.days.keep(c.before), this.days.keep(c.after)];
      this.compare(
        { x, y, times: 1, pair: [c.driver, c.vehicle] },
        this.days.union(own[0], before),
        this.days.union(own[1], after),
      );
    }
  }

  /** Days on which both stand there with cards of their own; whoever is not there sets no date. */
  private daysOf(driver: Side, vehicle: Side): number {
    if (!driver.present) return vehicle.days;
    return vehicle.present ? this.days.intersect(driver.days, vehicle.days) : driver.days;
  }

  private compare(who: Who, daysBefore: number, daysAfter: number): void {
    const [pb, pa] = this.spot.places;
    const old = together(this.tables[0], pb, who.x.before, who.y.before);
    const next = together(this.tables[1], pa, who.x.after, who.y.after);
    if (old === null && next === null) return;
    if (old === next && daysBefore === daysAfter && this.closed[0] === this.closed[1]) return;
    const never = this.sides.absent.days;
    const db = old === null ? never : this.days.without(daysBefore, this.closed[0]);
    const da = next === null ? never : this.days.without(daysAfter, this.closed[1]);
    if (old !== null && next !== null && old !== next) this.contrast(old, next, this.days.intersect(db, da), who);
    if (old !== null) this.contrast(old, NEVER, this.days.without(db, da), who);
    if (next !== null) this.contrast(NEVER, next, this.days.without(da, db), who);
  }

  private contrast(old: Steps, next: Steps, days: number, who: Who): void {
    if (days === this.sides.absent.days) return;
    let byOld = this.contrasts[days];
    if (!byOld) {
      byOld = [];
      this.contrasts[days] = byOld;
    }
    let byNext = byOld[old.id + 1];
    if (!byNext) {
      byNext = new Map();
      byOld[old.id + 1] = byNext;
    }
    let list = byNext.get(next.id);
    if (!list) {
      list = contrastsOf(old, next, this.days.of(days), this.days.weekdayCounts(days));
      byNext.set(next.id, list);
    }
    for (const c of list) this.add(c, who);
  }

  private add(c: Contrast, who: Who): void {
    const change = c.change ?? this.changeOf(c, who);
    change.points += c.minutes * who.times;
    if (who.times < 0) return;
    if (who.pair) {
      change.singles.add(`d ${who.pair[0]}`);
      change.singles.add(`v ${who.pair[1]}`);
    } else {
      change.drivers.add(who.x);
      change.vehicles.add(who.y);
    }
    if (c.before < change.before[0]) change.before[0] = c.before;
    if (c.before > change.before[1]) change.before[1] = c.before;
    if (c.after < change.after[0]) change.after[0] = c.after;
    if (c.after > change.after[1]) change.after[1] = c.after;
  }

  private changeOf(c: Contrast, who: Who): SpotChange {
    const key = (c.kind * 1_048_576 + c.whyBefore + 1) * 1_048_576 + c.whyAfter + 1;
    let change = this.changes.get(key);
    if (!change) {
      const { day, minute, before, after } = c;
      change = {
        kind: KINDS[c.kind] as ChangeKind,
        whyBefore: c.whyBefore,
        whyAfter: c.whyAfter,
        spot: this.spot,
        points: 0,
        drivers: new Set(),
        vehicles: new Set(),
        singles: new Set(),
        before: [before, before],
        after: [after, after],
        witness: { ...this.pairOf(who), day, minute, before, after },
      };
      this.changes.set(key, change);
    }
    c.change = change;
    return change;
  }

  /** The first pair that no card names together: only of those are two cards' days the whole truth. */
  private pairOf(who: Who): { driver: string | null; vehicle: string | null } {
    if (who.pair) return { driver: who.pair[0], vehicle: who.pair[1] };
    for (const driver of who.x.ids) {
      const vehicle = who.y.ids.find((id) => !this.coupled.has(`${driver} ${id}`));
      if (vehicle !== undefined) return { driver, vehicle };
    }
    return { driver: who.x.ids[0] ?? null, vehicle: who.y.ids[0] ?? null };
  }
}

const useful = (room: number): number => (room < LEAST_USEFUL ? 0 : room);

function contrastsOf(old: Steps, next: Steps, days: Days, weekdays: readonly number[]): Contrast[] {
  const list: Contrast[] = [];
  walk(old, next, (start, i, j, end) => {
    const before = useful(old.room[i] as number);
    const after = useful(next.room[j] as number);
    if (before === after) return;
    let minutes = 0;
    let first: { weekday: number; minute: number } | null = null;
    for (let w = Math.floor(start / 1440); w * 1440 < end; w++) {
      const [from, to] = [Math.max(start, w * 1440), Math.min(end, (w + 1) * 1440)];
      if ((weekdays[w] as number) > 0) first ??= { weekday: w, minute: from - w * 1440 };
      minutes += (to - from) * (weekdays[w] as number);
    }
    if (first === null) return;
    const kind = before === 0 ? 0 : after === 0 ? 1 : after > before ? 2 : 3;
    list.push({
      kind,
      whyBefore: old.why[i] as number,
      whyAfter: next.why[j] as number,
      before,
      after,
      minutes,
      day: firstDay(days, first.weekday),
      minute: first.minute,
      change: null,
    });
  });
  return list;
}

function firstDay(days: Days, weekday: number): number {
  for (const [from, until] of pairsOf(days)) {
    for (let day = from; day <= Math.min(until, from + 6); day++) if (weekdayOf(day) === weekday) return day;
  }
  return days[0] as number;
}
