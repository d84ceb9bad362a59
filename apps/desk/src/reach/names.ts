import { LEAST_USEFUL } from '@fillwright/core/decide';
import { WEEK_MINUTES } from '@fillwright/core/fleet';
import {
  accessOf,
  cardsFor,
  type Days,
  intersect,
  meetingsAt,
  type PartyClass,
  type Place,
  type Presented,
  ruleWords,
  spansOf,
  stretchAt,
  type Table,
  weekdayCounts,
  without,
} from '@fillwright/core/reach';
import { weekdayOf } from '@fillwright/core/units';
import { nameOf } from '../data/name-of.ts';

/** Holders who may draw the same by the same rule; `room` in microlitres. */
export interface NamesRow {
  readonly kind: 'drivers' | 'vehicles';
  /** Whether they draw with nobody else presented. */
  readonly alone: boolean;
  readonly room: number;
  readonly by: string;
  /** At most `MOST_NAMES`, in alphabetical order. */
  readonly names: readonly string[];
  readonly count: number;
  /** Numbers that present the first of them, and a day on which they do. */
  readonly cards: readonly string[];
  readonly day: number;
}

/** Who may draw from a hose at a minute of the week. The same holds for every minute of [from, to), all within one day. */
export interface Names {
  readonly hose: string;
  readonly from: number;
  readonly to: number;
  /** Largest limits first. */
  readonly rows: readonly NamesRow[];
}

export const MOST_NAMES = 200;
const DAY = 1440;

interface Spot {
  readonly room: number;
  readonly why: number;
  readonly alone: boolean;
  /** Ids that are presented, for the bench. */
  readonly partner: string | null;
  readonly days: Days;
}

/** Names behind one cell of a week map. With a driver or a vehicle chosen, the names are of them and, with anybody, of those they may draw with. */
export function namesAt(table: Table, place: Place, hoseId: string, minute: number): Names {
  const weekday = Math.floor(minute / DAY);
  const [seen, rows] = [
    { from: weekday * DAY, to: (weekday + 1) * DAY },
    new Map<string, NamesRow & { ids: string[] }>(),
  ];
  const hose = table.hoses.find((h) => h.siteId === place.site && h.members.some((m) => m.row.id === hoseId));
  const { fleet } = table.policy;
  if (!hose) return { hose: hoseId, ...seen, rows: [] };

  const look = (who: Presented, days: Days, partner: string | null): Spot | null => {
    const open = without(days, hose.closed);
    if ((weekdayCounts(open)[weekday] ?? 0) === 0) return null;
    const steps = accessOf(table, who, hose);
    if (steps === null) return null;
    const i = stretchAt(steps, minute);
    seen.from = Math.max(seen.from, steps.from[i] as number);
    seen.to = Math.min(seen.to, steps.from[i + 1] ?? WEEK_MINUTES);
    const room = steps.room[i] as number;
    if (room < LEAST_USEFUL) return null;
    return { room, why: steps.why[i] as number, alone: !who.driver || !who.vehicle, partner, days: open };
  };
  const put = (kind: NamesRow['kind'], id: string, spot: Spot) => {
    const key = `${kind} ${spot.room} ${spot.why} ${spot.alone}`;
    const had = rows.get(key);
    if (had) {
      had.ids.push(id);
      return;
    }
    const day = firstWeekday(spot.days, weekday);
    const [driverId, vehicleId] = kind === 'drivers' ? [id, spot.partner] : [spot.partner, id];
    const reason = table.book.reasons[spot.why] ?? { rule: '', allowance: null };
    const by = ruleWords(fleet, reason);
    const cards = cardsFor(table.policy, driverId, vehicleId, day);
    rows.set(key, { kind, alone: spot.alone, room: spot.room, by, names: [], count: 0, cards, day, ids: [id] });
  };

  const all = { drivers: meetingsAt(table.drivers, hose), vehicles: meetingsAt(table.vehicles, hose) };
  const presented = (kind: NamesRow['kind'], party: PartyClass | null, other: PartyClass | null): Presented =>
    kind === 'drivers' ? { driver: party, vehicle: other } : { driver: other, vehicle: party };
  /** Each member of `classes` by the most that they may draw: alone, with each of `others`, or with whom one card names beside them. */
  const tell = (
    kind: NamesRow['kind'],
    classes: readonly PartyClass[],
    concerned: (id: string) => boolean,
    alone: boolean,
    others: readonly { party: PartyClass; id: string }[],
    coupledWith: (id: string) => boolean,
  ) => {
    const byCouple = new Map<string, Spot>();
    for (const c of table.couples) {
      const [id, other] = kind === 'drivers' ? [c.driverId, c.vehicleId] : [c.vehicleId, c.driverId];
      if (!concerned(id) || !coupledWith(other)) continue;
      const spot = look(c, c.days, other);
      const had = byCouple.get(id);
      if (spot && (!had || spot.room > had.room)) byCouple.set(id, spot);
    }
    for (const party of classes) {
      const members = party.members.filter((m) => concerned(m.id));
      if (members.length === 0) continue;
      let best = alone ? look(presented(kind, party, null), party.days, null) : null;
      for (const other of others) {
        const days = intersect(party.days, other.party.days);
        const spot = days.length === 0 ? null : look(presented(kind, party, other.party), days, other.id);
        if (spot && (!best || spot.room > best.room)) best = spot;
      }
      for (const { id } of members) {
        const coupled = byCouple.get(id);
        const spot = coupled && (!best || coupled.room > best.room) ? coupled : best;
        if (spot) put(kind, id, spot);
      }
    }
  };
  const first = (list: typeof all.drivers) =>
    list.map(({ party }) => ({ party, id: party.members[0]?.id ?? '' })).filter(({ id }) => id !== '');
  const one = (id: string | null, of: ReadonlyMap<string, PartyClass>) => {
    const party = id === null ? undefined : of.get(id);
    return party && id !== null ? [{ party, id }] : [];
  };
  const { driver, vehicle, department, withAnybody } = place;
  const anybody = () => true;
  const drivers = one(driver, table.driverOf);
  const vehicles = one(vehicle, table.vehicleOf);
  const classesOf = (list: typeof drivers) => list.map((o) => o.party);
  const isDriver = (id: string) => id === driver;
  const isVehicle = (id: string) => id === vehicle;
  const nobody = () => false;
  if (department === null && driver !== null && vehicle !== null)
    tell('drivers', classesOf(drivers), isDriver, false, vehicles, isVehicle);
  else if (department === null && driver !== null) {
    tell('drivers', classesOf(drivers), isDriver, true, [], nobody);
    if (withAnybody) tell('vehicles', table.vehicles, anybody, false, drivers, isDriver);
  } else if (department === null && vehicle !== null) {
    tell('vehicles', classesOf(vehicles), isVehicle, true, [], nobody);
    if (withAnybody) tell('drivers', table.drivers, anybody, false, vehicles, isVehicle);
  } else {
    const of = (row: { department: string } | undefined) => department === null || row?.department === department;
    tell('drivers', table.drivers, (id) => of(fleet.drivers.get(id)), true, first(all.vehicles), anybody);
    tell('vehicles', table.vehicles, (id) => of(fleet.vehicles.get(id)), true, first(all.drivers), anybody);
  }
  const named = [...rows.values()].map(({ ids, ...row }): NamesRow => {
    const names = told(ids, (id) => nameOf(fleet, row.kind, id));
    return { ...row, names: names.slice(0, MOST_NAMES), count: ids.length };
  });
  named.sort((a, b) => (a.kind === b.kind ? b.room - a.room || b.count - a.count : a.kind === 'drivers' ? -1 : 1));
  return { hose: hoseId, ...seen, rows: named };
}

/** Names in order; where two share one, the id tells them apart. */
function told(ids: readonly string[], name: (id: string) => string): string[] {
  const count = new Map<string, number>();
  for (const id of ids) count.set(name(id), (count.get(name(id)) ?? 0) + 1);
  return ids
    .map((id) => (count.get(name(id)) === 1 ? name(id) : `${name(id)} (${id})`))
    .sort((a, b) => a.localeCompare(b, 'en'));
}

function firstWeekday(days: Days, weekday: number): number {
  for (const [from, until] of spansOf(days)) {
    const day = from + ((weekday - weekdayOf(from) + 7) % 7);
    if (day <= until) return day;
  }
  return days[0] ?? 0;
}
