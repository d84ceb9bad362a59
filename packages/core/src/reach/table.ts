import type { Holder, Policy, PolicyHose } from '../decide/index.ts';
import { changedKeys } from '../fleet/index.ts';
import { type Days, intersect, union } from './days.ts';
import type { PartyClass } from './party-class.ts';
import { type Cards, type Sorted, Sorting, type Together } from './sorting.ts';
import { Book, type Steps } from './steps.ts';
import type { TermsList } from './terms-list.ts';

export type { PartyClass, TermsList };

/**
 * Who can draw what, where and when, of a whole fleet: exact, and small. Drivers, vehicles and hoses that no rule can tell apart share
 * a class; the week falls into stretches at the edges of the rules; dates only open and close whole days. What is drawn before is taken as
 * nothing, PINs and answers as right, the site as connected: reach says what may be drawn at most, and `decide` may give less.
 */
export interface Table {
  readonly policy: Policy;
  readonly book: Book;
  /** The book's number of the reason 'what the vehicle's own tank holds'. */
  readonly tank: number;
  /** First and last day that the table speaks of, days since 1970-01-01, both included. */
  readonly horizon: Days;
  readonly drivers: readonly PartyClass[];
  readonly vehicles: readonly PartyClass[];
  readonly couples: readonly Couple[];
  readonly hoses: readonly HoseClass[];
  readonly driverOf: ReadonlyMap<string, PartyClass>;
  readonly vehicleOf: ReadonlyMap<string, PartyClass>;
  /** What told holders apart, for telling those of the next edit apart alike. */
  readonly sorting: Sorting;
}

/** A driver and a vehicle that one credential names together. */
export interface Couple {
  readonly driver: PartyClass;
  readonly vehicle: PartyClass;
  readonly driverId: string;
  readonly vehicleId: string;
  readonly number: string;
  readonly days: Days;
}

/** Hoses of one site that no rule can tell apart. */
export interface HoseClass {
  readonly index: number;
  readonly site: number;
  readonly siteId: string;
  readonly product: number;
  readonly mostPerFill: number;
  readonly most: Steps;
  readonly members: readonly PolicyHose[];
  readonly closed: Days;
}

/** Builds the table. Cost grows with the rows of the roster once, and with classes x sites as far as anybody asks. */
export function reachTable(policy: Policy, horizon: readonly [number, number], book = new Book()): Table {
  const sorting = new Sorting(book, union([[horizon[0], horizon[1]]]));
  const cards = sorting.cards(policy);
  const [d, v] = coupled(cards);
  const drivers = sorting.drivers.sort(policy.drivers.values(), cards.alone, d);
  const vehicles = sorting.vehicles.sort(policy.vehicles.values(), cards.alone, v);
  return tableOf(policy, sorting, drivers, vehicles, cards.together, hoseClasses(policy, book));
}

/**
 * The table of a policy that was revised (`revise`) from that of another table, which stays as it is. Classes keep their index; cost grows
 * with what the edit touched and a look over the roster.
 */
export function revisedTable(table: Table, policy: Policy): Table {
  const { sorting } = table;
  const touched = touchedBetween(table.policy, policy);
  const among = new Set<Holder>();
  for (const kind of ['drivers', 'vehicles'] as const)
    for (const id of touched[kind]) {
      const holder = policy[kind].get(id);
      if (holder) among.add(holder);
    }
  const cards = sorting.cards(policy, among);
  const [d, v] = coupled(cards);
  const was = [
    { classes: table.drivers, of: table.driverOf },
    { classes: table.vehicles, of: table.vehicleOf },
  ] as const;
  const drivers = sorting.drivers.resort(was[0], policy.drivers, touched.drivers, cards.alone, d);
  const vehicles = sorting.vehicles.resort(was[1], policy.vehicles, touched.vehicles, cards.alone, v);
  // Hoses of a site that changed are made anew.
  const hoses = policy.hoses === table.policy.hoses ? table.hoses : hoseClasses(policy, table.book);
  return tableOf(policy, sorting, drivers, vehicles, cards.together, hoses);
}

const coupled = ({ together }: Cards) =>
  [new Set(together.map((t) => t.driver)), new Set(together.map((t) => t.vehicle))] as const;

/** Ids of holders who are made anew, came or went, or whose cards did. */
function touchedBetween(was: Policy, is: Policy): Record<'drivers' | 'vehicles', Set<string>> {
  const touched = {
    drivers: new Set(changedKeys(was.drivers, is.drivers)),
    vehicles: new Set(changedKeys(was.vehicles, is.vehicles)),
  };
  const numbers = changedKeys(was.cards, is.cards);
  if (was.stopped !== is.stopped)
    for (const number of [...was.stopped, ...is.stopped])
      if (was.stopped.has(number) !== is.stopped.has(number)) numbers.push(number);
  for (const number of numbers) {
    for (const card of [was.cards.get(number), is.cards.get(number)]) {
      if (card?.driverId) touched.drivers.add(card.driverId);
      if (card?.vehicleId) touched.vehicles.add(card.vehicleId);
    }
  }
  return touched;
}

function tableOf(
  policy: Policy,
  sorting: Sorting,
  drivers: Sorted,
  vehicles: Sorted,
  together: readonly Together[],
  hoses: readonly HoseClass[],
): Table {
  const couples: Couple[] = [];
  for (const { driver, vehicle, number, days } of together) {
    const d = drivers.of.get(driver.id);
    const v = vehicles.of.get(vehicle.id);
    if (!d || !v) continue;
    const both = union([
      [Math.max(days[0], driver.from, vehicle.from), Math.min(days[1], driver.until, vehicle.until)],
    ]);
    couples.push({
      driver: d,
      vehicle: v,
      driverId: driver.id,
      vehicleId: vehicle.id,
      number,
      days: intersect(sorting.horizon, both),
    });
  }
  return {
    policy,
    book: sorting.book,
    tank: sorting.book.reason('vehicle-tank', null),
    horizon: sorting.horizon,
    drivers: drivers.classes,
    vehicles: vehicles.classes,
    couples,
    hoses,
    driverOf: drivers.of,
    vehicleOf: vehicles.of,
    sorting,
  };
}

function hoseClasses(policy: Policy, book: Book): HoseClass[] {
  const classes = new Map<string, HoseClass>();
  const closedOf = new Map<string, Days>();
  for (const hose of policy.hoses.values()) {
    const { site } = hose;
    if (!site?.row.active || !hose.row.active) continue;
    const key = `${site.index} ${hose.product} ${hose.row.mostPerFill}`;
    let found = classes.get(key);
    if (!found) {
      let closed = closedOf.get(site.row.id);
      if (!closed) {
        closed = union([...site.closed].map((d) => [d, d] as const));
        closedOf.set(site.row.id, closed);
      }
      const most = book.level(hose.row.mostPerFill, book.reason('hose-most', null));
      found = {
        index: classes.size,
        site: site.index,
        siteId: site.row.id,
        product: hose.product,
        mostPerFill: hose.row.mostPerFill,
        most,
        members: [],
        closed,
      };
      classes.set(key, found);
    }
    (found.members as PolicyHose[]).push(hose);
  }
  return [...classes.values()];
}
