import type { Allowance, Credential, Driver, Fleet, Hose, Question, Site, Vehicle, Window } from '../fleet/index.ts';
import { canonical, stretchesOf, WEEK_MINUTES } from '../fleet/index.ts';
import { parseDate, type ZoneTable } from '../units/index.ts';
import type { Zones } from './types.ts';
import { WhenAsked } from './when-asked.ts';

/** A fleet made ready for deciding: names resolved, dates as day numbers, weekly times as a bit a minute. Immutable to its callers. */
export interface Policy {
  readonly fleet: Fleet;
  readonly sites: ReadonlyMap<string, PolicySite>;
  readonly hoses: ReadonlyMap<string, PolicyHose>;
  /** By number; null where two credentials carry one number, so that it identifies nobody. */
  readonly cards: ReadonlyMap<string, PolicyCard | null>;
  readonly drivers: ReadonlyMap<string, Holder>;
  readonly vehicles: ReadonlyMap<string, Holder>;
  /** Numbers that an urgent stop refuses, beside those that the roster marks. */
  readonly stopped: ReadonlySet<string>;
  /** What its parts were made with, for making those of the next edit alike. */
  readonly makers: Makers;
}

export interface PolicySite {
  readonly row: Site;
  /** Its place in the lists of sites that holders and allowances carry. */
  readonly index: number;
  readonly zone: ZoneTable;
  readonly closed: ReadonlySet<number>;
  readonly questions: readonly Question[];
}

export interface PolicyHose {
  readonly row: Hose;
  /** The site that it names; undefined where the fleet has none of that id. */
  readonly site: PolicySite | undefined;
  /** Its product's place in the lists of products that allowances carry. */
  readonly product: number;
  readonly terminals: ReadonlySet<string>;
}

export interface PolicyCard {
  readonly id: string;
  readonly stopped: boolean;
  readonly from: number;
  readonly until: number;
  /** null: the credential names none; undefined: it names one that the roster does not have. */
  readonly driver: Holder | null | undefined;
  readonly vehicle: Holder | null | undefined;
  /** Ids as the credential names them, also where the roster lacks them. */
  readonly driverId: string | null;
  readonly vehicleId: string | null;
}

export interface Holder {
  readonly table: 'drivers' | 'vehicles';
  readonly id: string;
  /** 'driver:ID' or 'vehicle:ID'. */
  readonly key: string;
  readonly active: boolean;
  readonly from: number;
  readonly until: number;
  /** A 1 at the index of each site that it may use; null is every site. */
  readonly sites: Uint8Array | null;
  readonly questions: readonly Question[];
  readonly terms: readonly Terms[];
  /** Vehicles only: what its own tank holds, or null. */
  readonly capacity: number | null;
  /** Vehicles only. */
  readonly counter: 'odometer' | 'hours' | 'none' | null;
}

/** An allowance made ready. */
export interface Terms {
  readonly row: Allowance;
  /** A 1 at the index of each product and of each site that it covers; null is every site. */
  readonly products: Uint8Array;
  readonly sites: Uint8Array | null;
  /** A bit a minute of the week; null is always. */
  readonly open: Uint8Array | null;
  /** Whether day, week, month or fills are limited, so that what was drawn before matters. */
  readonly counts: boolean;
}

/** Days far beyond any date, yet small enough that a number of a large roster's rows takes no memory of its own. */
const EVER = 1_000_000_000;
const NEVER_BEFORE = -EVER;
const fromDay = (date: string | null) => (date === null ? NEVER_BEFORE : (parseDate(date) ?? EVER));
const untilDay = (date: string | null) => (date === null ? EVER : (parseDate(date) ?? NEVER_BEFORE));

export const opensAt = (open: Uint8Array, minuteOfWeek: number): boolean =>
  ((open[minuteOfWeek >> 3] as number) & (1 << (minuteOfWeek & 7))) !== 0;

function bitsOf(times: readonly Window[]): Uint8Array {
  const bits = new Uint8Array(WEEK_MINUTES / 8);
  for (const s of stretchesOf(times)) {
    for (let m = s.from; m < s.to; m++) bits[m >> 3] = (bits[m >> 3] as number) | (1 << (m & 7));
  }
  return bits;
}

/** Gives each name its place, in the order in which names are first seen. */
function placesOf(names: Iterable<string>): ReadonlyMap<string, number> {
  const places = new Map<string, number>();
  for (const name of names) if (!places.has(name)) places.set(name, places.size);
  return places;
}

/** A 1 at the place of each id that has one; ids without a place cannot be asked for. */
function marks(ids: readonly string[], places: ReadonlyMap<string, number>): Uint8Array {
  const list = new Uint8Array(places.size);
  for (const id of ids) {
    const place = places.get(id);
    if (place !== undefined) list[place] = 1;
  }
  return list;
}

/** Makes the parts of a policy; rows that refer to the same records share one made-ready list, so that a large roster costs little. */
export interface Makers {
  readonly siteAt: ReadonlyMap<string, number>;
  readonly productAt: ReadonlyMap<string, number>;
  readonly allowances: ReadonlyMap<string, Terms>;
  /** Lists of allowances by the ids that a holder names; grows as holders are made. */
  readonly lists: Map<string, readonly Terms[]>;
  readonly sitesOf: (ids: readonly string[] | null) => Uint8Array | null;
  readonly questionsOf: (ids: readonly string[]) => readonly Question[];
  readonly open: (times: readonly Window[] | null) => Uint8Array | null;
}

/** Keeps what was made of a list of ids. */
function byIds<T>(make: (ids: readonly string[]) => T): (ids: readonly string[]) => T {
  const known = new Map<string, T>();
  return (ids) => {
    const key = keyOf(ids);
    let made = known.get(key);
    if (made === undefined) {
      made = make(ids);
      known.set(key, made);
    }
    return made;
  };
}

/** One for a list of ids; most lists have one or none. */
const keyOf = (ids: readonly string[]): string => (ids.length === 1 ? (ids[0] as string) : ids.join(' '));

const found = <T>(ids: readonly string[], find: (id: string) => T | undefined): readonly T[] =>
  [...new Set(ids)].map(find).filter((t) => t !== undefined);

function makersOf(fleet: Fleet): Makers {
  const siteAt = placesOf(fleet.sites.keys());
  const productAt = placesOf([...fleet.hoses.values()].map((h) => h.product));
  const marked = byIds((ids) => marks(ids, siteAt));
  const openOf = new Map<string, Uint8Array>();
  const allowances = new Map<string, Terms>();
  const makers: Makers = {
    siteAt,
    productAt,
    allowances,
    lists: new Map(),
    sitesOf: (ids) => (ids === null ? null : marked(ids)),
    questionsOf: byIds((ids) => found(ids, (id) => fleet.questions.get(id))),
    open: (times) => {
      if (times === null) return null;
      const key = canonical(times);
      let bits = openOf.get(key);
      if (!bits) {
        bits = bitsOf(times);
        openOf.set(key, bits);
      }
      return bits;
    },
  };
  for (const row of fleet.allowances.values()) allowances.set(row.id, termsMade(makers, row));
  return makers;
}

export function termsMade(makers: Makers, row: Allowance): Terms {
  return {
    row,
    products: marks(row.products, makers.productAt),
    sites: makers.sitesOf(row.sites),
    open: makers.open(row.times),
    counts: row.perDay !== null || row.perWeek !== null || row.perMonth !== null || row.fillsPerDay !== null,
  };
}

function listMade(makers: Makers, ids: readonly string[]): readonly Terms[] {
  const key = keyOf(ids);
  let list = makers.lists.get(key);
  if (!list) {
    list = found(ids, (id) => makers.allowances.get(id));
    makers.lists.set(key, list);
  }
  return list;
}

export function holderMade(makers: Makers, table: Holder['table'], row: Driver | Vehicle): Holder {
  return {
    table,
    id: row.id,
    key: `${table === 'drivers' ? 'driver' : 'vehicle'}:${row.id}`,
    active: row.active,
    from: fromDay(row.validFrom),
    until: untilDay(row.validUntil),
    sites: makers.sitesOf(row.sites),
    questions: makers.questionsOf(row.questions),
    terms: listMade(makers, row.allowances),
    capacity: 'capacity' in row ? row.capacity : null,
    counter: 'counter' in row ? row.counter : null,
  };
}

export const cardMade = (
  row: Credential,
  drivers: ReadonlyMap<string, Holder>,
  vehicles: ReadonlyMap<string, Holder>,
): PolicyCard => ({
  id: row.id,
  stopped: row.stopped,
  from: fromDay(row.validFrom),
  until: untilDay(row.validUntil),
  driver: row.driver === null ? null : drivers.get(row.driver),
  vehicle: row.vehicle === null ? null : vehicles.get(row.vehicle),
  driverId: row.driver,
  vehicleId: row.vehicle,
});

export function siteMade(makers: Makers, row: Site, zones: Zones): PolicySite {
  const closed = new Set<number>();
  for (const date of row.closed) closed.add(parseDate(date) ?? NEVER_BEFORE);
  return {
    row,
    index: makers.siteAt.get(row.id) as number,
    zone: zones(row.zone),
    closed,
    questions: makers.questionsOf(row.questions),
  };
}

export const hoseMade = (makers: Makers, row: Hose, sites: ReadonlyMap<string, PolicySite>): PolicyHose => ({
  row,
  site: sites.get(row.site),
  product: makers.productAt.get(row.product) as number,
  terminals: new Set(row.terminals),
});

/**
 * Makes a fleet ready. References that lead nowhere drop out on the safe side: an allowance that does not exist allows nothing, a
 * driver who does not exist is not active. Holders and cards are made when they are first asked for, so that beside one look at each
 * credential's number the cost grows with sites, hoses and allowances alone; `zones` is asked once a zone.
 */
export function compile(fleet: Fleet, zones: Zones, stopped: ReadonlySet<string> = new Set()): Policy {
  const makers = makersOf(fleet);
  const drivers = new WhenAsked(fleet.drivers, (row: Driver) => holderMade(makers, 'drivers', row));
  const vehicles = new WhenAsked(fleet.vehicles, (row: Vehicle) => holderMade(makers, 'vehicles', row));
  const card = (row: Credential | null) => row && cardMade(row, drivers, vehicles);
  const cards = new WhenAsked(byNumber(fleet.credentials), card, [drivers, vehicles]);
  const sites = new Map<string, PolicySite>();
  for (const row of fleet.sites.values()) sites.set(row.id, siteMade(makers, row, zones));
  const hoses = new Map<string, PolicyHose>();
  for (const row of fleet.hoses.values()) hoses.set(row.id, hoseMade(makers, row, sites));
  return { fleet, sites, hoses, cards, drivers, vehicles, stopped, makers };
}

/** null where two carry one number. */
function byNumber(credentials: Fleet['credentials']): ReadonlyMap<string, Credential | null> {
  const numbers = new Map<string, Credential | null>();
  credentials.forEach((row) => {
    const before = numbers.size;
    numbers.set(row.number, row);
    // Cheaper than asking beforehand, of a million.
    if (numbers.size === before) numbers.set(row.number, null);
  });
  return numbers;
}

/** The same policy with more numbers stopped: an urgent stop costs nothing but a set. */
export const stopCredentials = (policy: Policy, numbers: Iterable<string>): Policy => ({
  ...policy,
  stopped: new Set([...policy.stopped, ...numbers]),
});
