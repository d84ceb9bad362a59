import { NO_DAYS } from './days.ts';
import type { JointParties } from './joint.ts';
import type { Table } from './table.ts';

export type Couples = readonly (readonly [driver: string, vehicle: string])[];

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
  /** The most others with whom cards name one driver, or one vehicle. */
  readonly most = { drivers: 0, vehicles: 0 };

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
    const differs = (of: ReadonlyMap<string, CoupleGroup>) => (entry: [string, CoupleGroup]) => {
      const [had, has] = [of.get(entry[0])?.couples, entry[1].couples];
      return had?.length !== has.length || has.some(([d, v], n) => d !== had[n]?.[0] || v !== had[n]?.[1]);
    };
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
    const drawn = new Map<string, number>();
    for (const { vehicle } of found.values()) drawn.set(vehicle, (drawn.get(vehicle) ?? 0) + 1);
    this.most.drivers = [...this.pairs.values()].reduce((most, { size }) => Math.max(most, size), 0);
    this.most.vehicles = [...drawn.values()].reduce((most, n) => Math.max(most, n), 0);
    const groups = new Map<string, CoupleGroup>();
    for (const { driver, vehicle, days: both } of found.values()) {
      const [d, v] = [drivers.numberOf(driver) as number, vehicles.numberOf(vehicle) as number];
      const key = `${d} ${v} ${both[0]} ${both[1]}`;
      const group = groups.get(key);
      if (group) group.couples.push([driver, vehicle]);
      else groups.set(key, { driver: d, vehicle: v, before: both[0], after: both[1], couples: [[driver, vehicle]] });
    }
    return groups;
  }
}
