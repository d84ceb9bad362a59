import { type Stretch, WEEK_MINUTES } from '../fleet/index.ts';
import { type CoupleGroup, JointCouples } from './couples.ts';
import { weekdayCounts } from './days.ts';
import { type Joint, JointParties } from './joint.ts';
import type { LiveDifference } from './live.ts';
import type { Looked } from './look.ts';
import { clipped, type Parts } from './parts.ts';
import type { Spot } from './spot.ts';
import type { Table } from './table.ts';
import { type ChangeKind, Tally } from './tally.ts';
import { type Touched, touchedIn } from './touched.ts';
import { Sums, type Weeks } from './week-sums.ts';

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

/** Points by hose. */
export type PerHose = Map<string, Readonly<Record<ChangeKind, number>>>;

/** One section of a difference: the same spots with fewer people at them. */
export interface Cut extends Looked {
  readonly live: LiveDifference;
  readonly section: Section;
  readonly tally: Tally;
}

export function cutOf(live: LiveDifference, section: Section): Cut {
  const { before, after, ways, compare } = live;
  const of = (side: 'drivers' | 'vehicles', whose: 'driverOf' | 'vehicleOf') => {
    const wanted = section[side];
    return wanted ? new JointParties(some(before[whose], wanted), some(after[whose], wanted)) : live[side];
  };
  const [drivers, vehicles] = [of('drivers', 'driverOf'), of('vehicles', 'vehicleOf')];
  const coupled = (table: Table): Table => ({
    ...table,
    couples: table.couples.filter((c) => isOf(section.drivers, c.driverId) && isOf(section.vehicles, c.vehicleId)),
  });
  const people = { drivers, vehicles };
  const parts = new Map<Parts, Parts>();
  return {
    ...{ live, section, before, after, ways, compare, drivers, vehicles },
    alone: { drivers: hasNobody(section.vehicles), vehicles: hasNobody(section.drivers) },
    couples: new JointCouples(coupled(before), coupled(after), drivers, vehicles),
    tally: new Tally(),
    asked: new Set(),
    edits: 0,
    changed: new Map(),
    spots: live.spots.flatMap((spot) => narrow(live, section, people, spot, parts)),
    wayOf: (spot, joint) => live.wayOf(spot, joint),
  };
}

/** Whom the section touches. */
export const touchedBy = (cut: Cut): Touched =>
  touchedIn(cut, (side, id) => {
    const one = cutOf(cut.live, { ...cut.section, [side]: { only: new Set([id]) } });
    for (const spot of one.spots) weigh(one, spot, new Map(), new Map());
    return one.tally.keys.some((_, slot) => one.tally.points(slot) !== 0n);
  });

/** Every combination of the section over the horizon. */
export function pointsIn(cut: Cut): bigint {
  const { from, to } = cut.section.span ?? { from: 0, to: WEEK_MINUTES };
  const minutes = weekdayCounts(cut.before.horizon).reduce(
    (sum, days, w) => sum + days * Math.max(0, Math.min(to, (w + 1) * 1440) - Math.max(from, w * 1440)),
    0,
  );
  const hoses = cut.spots.reduce((n, s) => n + s.hoses.length, 0);
  const { drivers: noVehicle, vehicles: noDriver } = cut.alone;
  const people = (parties: JointParties, nobody: boolean) => BigInt(parties.people + (nobody ? 1 : 0));
  const pairs = people(cut.drivers, noDriver) * people(cut.vehicles, noVehicle);
  return (pairs - (noDriver && noVehicle ? 1n : 0n)) * BigInt(hoses) * BigInt(minutes);
}

/** Counts one of the spots, and adds what it counts to the week of its product and to its hoses. */
export function weigh(cut: Cut, spot: Spot, weeks: Weeks, perHose: PerHose): void {
  const { tally, compare, alone } = cut;
  const hears = new Sums(tally.of(spot.product), tally, cut.before.book.days);
  const hoses = spot.hoses.length;
  const couples = [...cut.couples.groups.values()].flatMap((group) => cellsOf(cut, spot, group));
  for (let part = 0; part < spot.parts.count; part++) {
    hears.at(spot.parts, part);
    compare.crowds(spot, part, spot.drivers, spot.vehicles, hears, hoses);
    if (alone.drivers) compare.alone(spot, part, 'drivers', spot.drivers, hears, hoses);
    if (alone.vehicles) compare.alone(spot, part, 'vehicles', spot.vehicles, hears, hoses);
    for (const { group, xs, ys } of couples)
      compare.couple(spot, xs[part] as number, ys[part] as number, group, group.couples.length * hoses, hears);
    hears.spread(weeks, spot.product);
  }
  for (const slot of tally.touched) spot.slots.add(slot);
  tally.touched.clear();
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

function cellsOf(cut: Cut, spot: Spot, group: CoupleGroup) {
  const x = cut.wayOf(spot, cut.drivers.list[group.driver] as Joint);
  const y = cut.wayOf(spot, cut.vehicles.list[group.vehicle] as Joint);
  if (x === -1 || y === -1) return [];
  return [{ group, xs: cut.ways.cellsOf(x, spot.parts), ys: cut.ways.cellsOf(y, spot.parts) }];
}

type People = Pick<Looked, 'drivers' | 'vehicles'>;

/** `made` holds the parts of the week that were cut to the section's stretch, by what they were. */
function narrow(live: LiveDifference, section: Section, people: People, spot: Spot, made: Map<Parts, Parts>): Spot[] {
  const { hoses: wanted, product, drivers, vehicles, span } = section;
  const hoses = wanted ? spot.hoses.filter((id) => wanted.has(id)) : spot.hoses;
  if (hoses.length === 0 || (product !== null && spot.product !== product)) return [];
  const parts = span ? (made.get(spot.parts) ?? clipped(spot.parts, span)) : spot.parts;
  made.set(spot.parts, parts);
  const at = { ...spot, parts };
  return [
    {
      ...at,
      hoses,
      drivers: drivers || span ? live.crowdAt(at, people.drivers) : spot.drivers,
      vehicles: vehicles || span ? live.crowdAt(at, people.vehicles) : spot.vehicles,
      slots: new Set(),
      heard: new Map(),
    },
  ];
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
