import { type Holder, type Policy, type PolicyHose, type Terms, unanswerable } from '../decide/index.ts';
import { type Question, stretchesOf, WEEK_MINUTES } from '../fleet/index.ts';
import { type Days, intersect, union } from './days.ts';
import { Book, SHUT, type Steps } from './steps.ts';

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
}

/** Holders that no rule can tell apart. */
export interface PartyClass {
  readonly index: number;
  readonly key: string;
  readonly members: readonly Holder[];
  readonly list: TermsList;
  readonly sites: Uint8Array | null;
  /** Days on which a credential of their own, naming nobody else, is good. */
  readonly days: Days;
  /** The days by number in the book. */
  readonly dayset: number;
  readonly capacity: number | null;
  /** They are asked a question that no answer satisfies, so nobody of them ever draws. */
  readonly mute: boolean;
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

/** An ordered list of allowances, with what it lets through at each site and for each product: null where it is silent. */
export interface TermsList {
  readonly terms: readonly Terms[];
  at(site: number, product: number): Steps | null;
  /** The (site, product) pairs that some allowance of the list covers, as site * 65,536 + product. */
  cells(): readonly number[];
}

/** Most that an allowance lets through in one fill when nothing was drawn before, and the rule that says so (SPEC D18). */
function roomOf(terms: Terms): { room: number; rule: string } {
  const { row } = terms;
  let room = Number.MAX_SAFE_INTEGER;
  let rule = 'per-fill';
  if (row.fillsPerDay === 0) [room, rule] = [0, 'fills-per-day'];
  const rules = [
    [row.perFill, 'per-fill'],
    [row.perDay, 'per-day'],
    [row.perWeek, 'per-week'],
    [row.perMonth, 'per-month'],
  ] as const;
  for (const [most, name] of rules) if (most !== null && most < room) [room, rule] = [most, name];
  return { room, rule };
}

/** Step functions of lists of allowances, each different fitting list worked out once. */
function termsLists(book: Book, products: number, sites: number): (terms: readonly Terms[]) => TermsList {
  const single = new Map<Terms, Steps>();
  const shut = book.level(SHUT, book.reason('allowance', null));
  const stepsOf = (terms: Terms): Steps => {
    let steps = single.get(terms);
    if (!steps) {
      const { room, rule } = roomOf(terms);
      const why = book.reason(rule, terms.row.id);
      const shutWhy = book.reason('allowance-time', terms.row.id);
      const from: number[] = [];
      const rooms: number[] = [];
      const whys: number[] = [];
      const put = (at: number, r: number, w: number) => {
        if (at >= WEEK_MINUTES) return;
        if (from.at(-1) === at) {
          rooms[rooms.length - 1] = r;
          whys[whys.length - 1] = w;
          return;
        }
        from.push(at);
        rooms.push(r);
        whys.push(w);
      };
      put(0, SHUT, shutWhy);
      for (const s of stretchesOf(terms.row.times)) {
        put(s.from, room, why);
        put(s.to, SHUT, shutWhy);
      }
      steps = book.keep(from, rooms, whys);
      single.set(terms, steps);
    }
    return steps;
  };
  const cells = new Map<Terms, number[]>();
  const cellsOf = (t: Terms): number[] => {
    let list = cells.get(t);
    if (!list) {
      list = [];
      for (let site = 0; site < sites; site++) {
        if (t.sites !== null && t.sites[site] !== 1) continue;
        for (let p = 0; p < products; p++) if (t.products[p] === 1) list.push(site * 65_536 + p);
      }
      cells.set(t, list);
    }
    return list;
  };
  const known = new Map<readonly Terms[], TermsList>();
  return (terms) => {
    let list = known.get(terms);
    if (!list) {
      // By which of the allowances cover the place: a bit each. Exact up to 53 of them, far more than anybody holds.
      const fitting = new Map<number, Steps>();
      let covered: number[] | null = null;
      list = {
        terms,
        cells: () => {
          covered ??= [...new Set(terms.flatMap((t) => cellsOf(t)))];
          return covered;
        },
        at: (site, product) => {
          if (terms.length === 0) return null;
          let which = 0;
          let bit = 1;
          for (const t of terms) {
            if (t.products[product] === 1 && (t.sites === null || t.sites[site] === 1)) which += bit;
            bit *= 2;
          }
          if (which === 0) return shut;
          let steps = fitting.get(which);
          if (!steps) {
            for (const [n, t] of terms.entries()) {
              if (Math.floor(which / 2 ** n) % 2 === 1) steps = steps ? book.most(steps, stepsOf(t)) : stepsOf(t);
            }
            fitting.set(which, steps as Steps);
          }
          return steps as Steps;
        },
      };
      known.set(terms, list);
    }
    return list;
  };
}

const LONG_AGO = -1_000_000;
const FAR_AHEAD = 10_000_000;
const span = (from: number, until: number): [number, number] => [Math.max(from, LONG_AGO), Math.min(until, FAR_AHEAD)];

/** Builds the table. Cost grows with the rows of the roster once, and with classes x sites as far as anybody asks. */
export function reachTable(policy: Policy, horizon: readonly [number, number], book = new Book()): Table {
  const alone = new Map<Holder, [number, number][]>();
  const together: { driver: Holder; vehicle: Holder; number: string; days: [number, number] }[] = [];
  for (const [number, card] of policy.cards) {
    if (card === null || card.stopped || policy.stopped.has(number)) continue;
    const { driver, vehicle } = card;
    if (driver === undefined || vehicle === undefined) continue;
    const days = span(card.from, card.until);
    if (driver && vehicle) together.push({ driver, vehicle, number, days });
    else {
      const holder = driver ?? vehicle;
      if (!holder) continue;
      const spans = alone.get(holder);
      if (spans) spans.push(days);
      else alone.set(holder, [days]);
    }
  }
  const within = union([[horizon[0], horizon[1]]]);
  const products = 1 + Math.max(0, ...[...policy.hoses.values()].map((h) => h.product));
  const listOf = termsLists(book, products, policy.sites.size);
  const marks = numbering<Uint8Array | null>();
  const mutes = new Map<readonly Question[], boolean>();
  const mute = (questions: readonly Question[]) => {
    const known = mutes.get(questions) ?? questions.some(unanswerable);
    mutes.set(questions, known);
    return known;
  };
  const lists = numbering<readonly Terms[]>();
  const classesOf = (holders: Iterable<Holder>, always: ReadonlySet<Holder>) => {
    const classes: PartyClass[] = [];
    const byKey = new Map<string, PartyClass>();
    const of = new Map<string, PartyClass>();
    for (const holder of holders) {
      const spans = alone.get(holder);
      if (!holder.active || (!spans && !always.has(holder))) continue;
      const days = intersect(within, intersect(union([span(holder.from, holder.until)]), union(spans ?? [])));
      const key = `${lists(holder.terms)} ${marks(holder.sites)} ${days.join()} ${holder.capacity ?? ''} ${mute(holder.questions)}`;
      let found = byKey.get(key);
      if (!found) {
        found = {
          index: classes.length,
          key,
          members: [],
          list: listOf(holder.terms),
          sites: holder.sites,
          days,
          dayset: book.days.keep(days),
          capacity: holder.capacity,
          mute: mute(holder.questions),
        };
        classes.push(found);
        byKey.set(key, found);
      }
      (found.members as Holder[]).push(holder);
      of.set(holder.id, found);
    }
    return { classes, of };
  };
  const coupledDrivers = new Set(together.map((t) => t.driver));
  const coupledVehicles = new Set(together.map((t) => t.vehicle));
  const drivers = classesOf(policy.drivers.values(), coupledDrivers);
  const vehicles = classesOf(policy.vehicles.values(), coupledVehicles);
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
      days: intersect(within, both),
    });
  }
  return {
    policy,
    book,
    tank: book.reason('vehicle-tank', null),
    horizon: within,
    drivers: drivers.classes,
    vehicles: vehicles.classes,
    couples,
    hoses: hoseClasses(policy, book),
    driverOf: drivers.of,
    vehicleOf: vehicles.of,
  };
}

function numbering<T>(): (thing: T) => number {
  const known = new Map<T, number>();
  return (thing) => {
    let n = known.get(thing);
    if (n === undefined) {
      n = known.size;
      known.set(thing, n);
    }
    return n;
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
