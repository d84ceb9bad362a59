import { NO_DAYS } from './days.ts';
import type { JointParties } from './joint.ts';
import type { Table } from './table.ts';

/** Pairs that cards name together, alike in who they are and in the days on which one of those cards is good (by number in the book). */
export interface CoupleGroup {
  readonly driver: number;
  readonly vehicle: number;
  readonly before: number;
  readonly after: number;
  readonly couples: (readonly [driver: string, vehicle: string])[];
}

/** Everybody whom a card names with another, in either table. */
export class JointCouples {
  groups: ReadonlyMap<string, CoupleGroup>;
  private readonly pairs = new Map<string, Set<string>>();

  constructor(before: Table, after: Table, drivers: JointParties, vehicles: JointParties) {
    this.groups = this.gather(before, after, drivers, vehicles);
  }

  has(driver: string, vehicle: string): boolean {
    return this.pairs.get(driver)?.has(vehicle) ?? false;
  }

  /** The groups that are no more as they were, and those that are new. */
  revised(before: Table, after: Table, drivers: JointParties, vehicles: JointParties) {
    const was = this.groups;
    if (before.couples.length + after.couples.length + was.size === 0) return { gone: [], come: [] };
    this.pairs.clear();
    this.groups = this.gather(before, after, drivers, vehicles);
    const differs = (of: ReadonlyMap<string, CoupleGroup>) => (entry: [string, CoupleGroup]) =>
      of.get(entry[0])?.couples.length !== entry[1].couples.length;
    const gone = [...was].filter(differs(this.groups)).map(([, g]) => g);
    return { gone, come: [...this.groups].filter(differs(was)).map(([, g]) => g) };
  }

  private gather(before: Table, after: Table, drivers: JointParties, vehicles: JointParties) {
    const { days } = before.book;
    const never = days.keep(NO_DAYS);
    const found = new Map<string, { driver: string; vehicle: string; days: [number, number] }>();
    for (const [side, table] of [before, after].entries()) {
      for (const c of table.couples) {
        const key = `${c.driverId} ${c.vehicleId}`;
        let pair = found.get(key);
        if (!pair) {
          pair = { driver: c.driverId, vehicle: c.vehicleId, days: [never, never] };
          found.set(key, pair);
          const known = this.pairs.get(c.driverId);
          if (known) known.add(c.vehicleId);
          else this.pairs.set(c.driverId, new Set([c.vehicleId]));
        }
        pair.days[side] = days.union(pair.days[side] as number, days.keep(c.days));
      }
    }
    const groups = new Map<string, CoupleGroup>();
    for (const { driver, vehicle, days: both } of found.values()) {
      const [d, v] = [drivers.numberOf(driver), vehicles.numberOf(vehicle)];
      if (d === undefined || v === undefined) continue;
      const key = `${d} ${v} ${both[0]} ${both[1]}`;
      const group = groups.get(key);
      if (group) group.couples.push([driver, vehicle]);
      else groups.set(key, { driver: d, vehicle: v, before: both[0], after: both[1], couples: [[driver, vehicle]] });
    }
    return groups;
  }
}
