import { Comers, type Signature } from './comers.ts';
import { weekdayCounts } from './days.ts';
import { type Joint, jointCouples, jointHoses, jointParties } from './joint.ts';
import { placeOf, Sides } from './sides.ts';
import { type ChangeKind, KINDS, type Spot, type SpotChange, SpotCompare } from './spot.ts';
import type { PartyClass, Table } from './table.ts';

/** One point at which a change shows: who, where, when by the site's wall. */
export interface Witness {
  readonly driver: string | null;
  readonly vehicle: string | null;
  readonly hose: string;
  /** Days since 1970-01-01, and minute of that day. */
  readonly day: number;
  readonly minute: number;
  /** Microlitres; 0 is nothing. */
  readonly before: number;
  readonly after: number;
}

/** Everything that changed for one reason: the same kind and product, and the same deciding rules before and after. */
export interface ChangeGroup {
  readonly kind: ChangeKind;
  readonly product: string;
  /** Reasons by index in the tables' book; -1 where nothing was or is open at all. */
  readonly whyBefore: number;
  readonly whyAfter: number;
  /** Points: (driver or nobody, vehicle or nobody, hose, day, minute) whose limit changed so. */
  readonly points: bigint;
  readonly drivers: ReadonlySet<string>;
  readonly vehicles: ReadonlySet<string>;
  readonly sites: ReadonlySet<string>;
  readonly hoses: ReadonlySet<string>;
  /** Least and most microlitres before and after, over the group. */
  readonly before: readonly [number, number];
  readonly after: readonly [number, number];
  readonly witness: Witness;
}

export interface Difference {
  /** Largest first. */
  readonly groups: readonly ChangeGroup[];
  readonly points: Readonly<Record<ChangeKind, bigint>>;
  /** Points that were covered: every combination over the horizon. */
  readonly looked: bigint;
}

export interface Progress {
  readonly done: number;
  readonly of: number;
}

/**
 * Everything that changes between two tables of one book and one horizon: complete and counted. A generator, so that whoever drives it can
 * show how far it is, and stop it; it returns the difference. Memory grows with the different ways in which people meet hoses.
 */
export function* differenceOf(before: Table, after: Table): Generator<Progress, Difference> {
  const tables = [before, after] as const;
  const hoses = jointHoses(before, after);
  const drivers = jointParties(before.driverOf, after.driverOf);
  const vehicles = jointParties(before.vehicleOf, after.vehicleOf);
  const couples = jointCouples(before, after);
  const coupled = new Set(couples.map((c) => `${c.driver} ${c.vehicle}`));
  const sides = new Sides(before.book.days);
  const driverComers = new Comers(tables, sides, drivers);
  const vehicleComers = new Comers(tables, sides, vehicles);
  const noOne: Signature = { before: sides.nobody, after: sides.nobody, changed: false, ids: [] };

  const spots = new Spots();
  for (const [n, hose] of hoses.entries()) {
    const places = [placeOf(before, hose.before), placeOf(after, hose.after)] as const;
    const d = driverComers.meet(hose);
    const v = vehicleComers.meet(hose);
    const changed = places[0].key !== places[1].key;
    if (changed || d.changed || v.changed || couples.length > 0) {
      const product = (hose.after ?? hose.before)?.members[0]?.row.product ?? '';
      const key = { words: `${product};${places[0].key};${places[1].key}`, drivers: d.key, vehicles: v.key };
      const spot = spots.find(key);
      if (spot) spot.hoses.push(hose);
      else spots.add(key, { hoses: [hose], places, product, changed, drivers: d.signatures, vehicles: v.signatures });
    }
    if (n % 16 === 0) yield { done: n, of: hoses.length * 2 };
  }

  const gathered = new Map<string, SpotChange[]>();
  let met = hoses.length;
  for (const spot of spots.all) {
    const here = new SpotCompare(tables, spot, sides, coupled);
    here.everybody(noOne);
    if (couples.length > 0) here.couples(couples);
    for (const change of here.changes.values()) {
      if (change.points === 0) continue;
      const key = `${change.kind} ${spot.product} ${change.whyBefore} ${change.whyAfter}`;
      const list = gathered.get(key);
      if (list) list.push(change);
      else gathered.set(key, [change]);
    }
    met += spot.hoses.length;
    yield { done: met, of: hoses.length * 2 };
  }
  const groups = [...gathered.values()]
    .map(groupOf)
    .sort((a, b) => (a.points < b.points ? 1 : a.points > b.points ? -1 : 0));
  const points = Object.fromEntries(KINDS.map((kind) => [kind, sum(groups.filter((g) => g.kind === kind))]));
  return { groups, points: points as Record<ChangeKind, bigint>, looked: lookedAt(before, hoses, drivers, vehicles) };
}

interface SpotKey {
  readonly words: string;
  readonly drivers: Int32Array;
  readonly vehicles: Int32Array;
}

/** Spots by what makes two hoses alike: a hash finds candidates, the whole key decides. */
class Spots {
  readonly all: Spot[] = [];
  private readonly byHash = new Map<string, { key: SpotKey; spot: Spot }[]>();

  find(key: SpotKey): Spot | undefined {
    const like = this.byHash.get(hashOf(key));
    return like?.find(
      (c) => c.key.words === key.words && equal(c.key.drivers, key.drivers) && equal(c.key.vehicles, key.vehicles),
    )?.spot;
  }

  add(key: SpotKey, spot: Spot): void {
    this.all.push(spot);
    const hash = hashOf(key);
    const like = this.byHash.get(hash);
    if (like) like.push({ key, spot });
    else this.byHash.set(hash, [{ key, spot }]);
  }
}

const hashOf = (key: SpotKey) => `${key.words} ${mixed(key.drivers)} ${mixed(key.vehicles)}`;

function mixed(list: Int32Array): number {
  let h = list.length;
  for (const n of list) h = (Math.imul(h, 31) + n) | 0;
  return h;
}

function equal(a: Int32Array, b: Int32Array): boolean {
  return a.length === b.length && a.every((n, i) => n === b[i]);
}

const sum = (groups: readonly ChangeGroup[]) => groups.reduce((n, g) => n + g.points, 0n);

function lookedAt(
  table: Table,
  hoses: readonly Joint<unknown>[],
  drivers: readonly Joint<PartyClass>[],
  vehicles: readonly Joint<PartyClass>[],
): bigint {
  const count = (list: readonly Joint<unknown>[]) => list.reduce((n, j) => n + j.members.length, 0);
  const days = weekdayCounts(table.horizon).reduce((a, b) => a + b, 0);
  const everybody = BigInt(count(drivers) + 1) * BigInt(count(vehicles) + 1) - 1n;
  return everybody * BigInt(count(hoses)) * BigInt(days * 1440);
}

function groupOf(changes: readonly SpotChange[]): ChangeGroup {
  const first = changes[0] as SpotChange;
  const drivers = new Set<string>();
  const vehicles = new Set<string>();
  const sites = new Set<string>();
  const hoses = new Set<string>();
  let points = 0n;
  for (const c of changes) {
    let count = 0;
    for (const hose of c.spot.hoses) {
      count += hose.members.length;
      for (const id of hose.members) hoses.add(id);
      sites.add(hose.after?.siteId ?? hose.before?.siteId ?? '');
    }
    points += BigInt(c.points) * BigInt(count);
    for (const s of c.drivers) for (const id of s.ids) drivers.add(id);
    for (const s of c.vehicles) for (const id of s.ids) vehicles.add(id);
    for (const id of c.singles) (id.startsWith('d ') ? drivers : vehicles).add(id.slice(2));
  }
  const least = (of: (c: SpotChange) => number) =>
    changes.reduce((n, c) => Math.min(n, of(c)), Number.POSITIVE_INFINITY);
  const most = (of: (c: SpotChange) => number) => changes.reduce((n, c) => Math.max(n, of(c)), 0);
  return {
    kind: first.kind,
    product: first.spot.product,
    whyBefore: first.whyBefore,
    whyAfter: first.whyAfter,
    points,
    drivers,
    vehicles,
    sites,
    hoses,
    before: [least((c) => c.before[0]), most((c) => c.before[1])],
    after: [least((c) => c.after[0]), most((c) => c.after[1])],
    witness: { ...first.witness, hose: first.spot.hoses[0]?.members[0] ?? '' },
  };
}
