import { LEAST_USEFUL, type PolicySite, type Terms, unanswerable } from '../decide/index.ts';
import { identifies } from './access.ts';
import type { Book, Steps } from './steps.ts';
import type { HoseClass, PartyClass, Table, TermsList } from './table.ts';

/**
 * What can happen at all, without looking at every pair: at each place a holder meets the *widest* that the other side could leave, which is
 * attained by somebody at each minute. Exact over the week. Dates of two free holders are taken as if they met, so whatever is said here
 * to be impossible is impossible.
 */
export interface Possible {
  /** Allowances that set the limit of some approval. */
  readonly decides: ReadonlySet<string>;
  /** Allowances that are the widest of somebody's own at some place and minute, whatever cuts them afterwards. */
  readonly leads: ReadonlySet<string>;
  /** Classes of which somebody can draw something somewhere. */
  readonly draws: ReadonlySet<PartyClass>;
  /** Hose classes from which somebody can draw something. */
  readonly drawn: ReadonlySet<HoseClass>;
}

type Side = 'driver' | 'vehicle';
interface Place {
  readonly site: PolicySite;
  readonly at: number;
  readonly product: number;
  readonly hoses: HoseClass[];
  readonly most: Steps;
}

/** Holders of one side with the same allowances and sites: only the largest capacity among them matters for what is widest. */
interface Rights {
  readonly list: TermsList;
  readonly sites: Uint8Array | null;
  capacity: number | null;
}

/** The widest that a side leaves at a place: of those who bring an allowance, and of those who bring none. Null where nobody is there. */
interface Widest {
  party: Steps | null;
  silent: Steps | null;
}

const UNBOUNDED = Number.MAX_SAFE_INTEGER;

/** Cost grows with the classes times the different places, as far as nothing is settled earlier. */
export function possible(table: Table): Possible {
  const { book } = table;
  const decides = new Set<string>();
  const leads = new Set<string>();
  const draws = new Set<PartyClass>();
  const drawn = new Set<HoseClass>();
  const places = placesOf(table);
  const covered = coverage(places);
  const free: Record<Side, readonly PartyClass[]> = {
    driver: table.drivers.filter((d) => !d.mute && d.days.length > 0),
    vehicle: table.vehicles.filter((v) => !v.mute && v.days.length > 0),
  };
  const widest = { driver: widestOf(table, covered, free.driver), vehicle: widestOf(table, covered, free.vehicle) };

  const seen = new Set<number>();
  /** Takes note of what decides in an outcome; true where something can be drawn. */
  const note = (outcome: Steps): boolean => {
    if (outcome.top < LEAST_USEFUL) return false;
    if (!seen.has(outcome.id)) {
      seen.add(outcome.id);
      for (const id of allowancesIn(book, outcome)) decides.add(id);
    }
    return true;
  };
  /** What is left of one who brings an allowance, with another or alone. */
  const meet = (place: Place, driver: Steps | null, vehicle: Steps | null): Steps => {
    const both = driver === null ? vehicle : vehicle === null ? driver : book.least(driver, vehicle);
    return book.least(both as Steps, place.most);
  };
  /** Everything that can happen to one holder at one place, when they come alone or with anybody free. */
  const outcomes = (side: Side, place: Place, own: Own): boolean => {
    const other = widest[side === 'driver' ? 'vehicle' : 'driver'].get(place);
    const pair = (mine: Steps | null, theirs: Steps | null) =>
      note(side === 'driver' ? meet(place, mine, theirs) : meet(place, theirs, mine));
    let any = false;
    if (own.party && identifies(place.site, side === 'driver', side === 'vehicle')) any = pair(own.steps, null) || any;
    if (other?.party) any = pair(own.steps, other.party) || any;
    if (own.party && other?.silent) any = pair(own.steps, other.silent) || any;
    return any;
  };

  for (const side of ['driver', 'vehicle'] as const) {
    for (const holder of free[side]) {
      const names = holder.list.terms.map((t) => t.row.id);
      const settled = () => draws.has(holder) && names.every((id) => decides.has(id) && leads.has(id));
      for (const place of covered(holder.list)) {
        if (holder.sites?.[place.at] === 0) continue;
        if (settled()) break;
        const own = ownAt(table, holder, place);
        if (own.lead) for (const id of allowancesIn(book, own.lead)) leads.add(id);
        if (outcomes(side, place, own)) draws.add(holder);
      }
    }
  }
  for (const place of places) {
    const d = widest.driver.get(place);
    const v = widest.vehicle.get(place);
    const alone = (side: Side, steps: Steps | null | undefined) =>
      steps && identifies(place.site, side === 'driver', side === 'vehicle') ? meet(place, steps, null) : null;
    const ways = [
      alone('driver', d?.party),
      alone('vehicle', v?.party),
      d?.party && v?.party ? meet(place, d.party, v.party) : null,
      d?.party && v?.silent ? meet(place, d.party, v.silent) : null,
      d?.silent && v?.party ? meet(place, d.silent, v.party) : null,
    ];
    if (ways.some((w) => w !== null && w.top >= LEAST_USEFUL)) for (const hose of place.hoses) drawn.add(hose);
  }
  const pairs = new Map<PartyClass, Set<PartyClass>>();
  for (const { driver, vehicle, days } of table.couples) {
    const known = pairs.get(driver) ?? new Set();
    pairs.set(driver, known);
    if (days.length === 0 || driver.mute || vehicle.mute || known.has(vehicle)) continue;
    known.add(vehicle);
    const names = [...driver.list.terms, ...vehicle.list.terms].map((t) => t.row.id);
    for (const place of places) {
      if (driver.sites?.[place.at] === 0 || vehicle.sites?.[place.at] === 0) continue;
      const settled = draws.has(driver) && draws.has(vehicle) && names.every((id) => decides.has(id) && leads.has(id));
      if (settled && drawn.size === table.hoses.length) break;
      if (settled && place.hoses.every((h) => drawn.has(h))) continue;
      const d = ownAt(table, driver, place);
      const v = ownAt(table, vehicle, place);
      for (const own of [d, v]) if (own.lead) for (const id of allowancesIn(book, own.lead)) leads.add(id);
      if (!d.party && !v.party) continue;
      if (!note(meet(place, d.steps, v.steps))) continue;
      draws.add(driver);
      draws.add(vehicle);
      for (const hose of place.hoses) drawn.add(hose);
    }
  }
  return { decides, leads, draws, drawn };
}

interface Own {
  /** Whether they bring an allowance. */
  readonly party: boolean;
  /** What their own allowances let through, before the vehicle's tank: null for those who bring none. */
  readonly lead: Steps | null;
  /** What they leave: allowances and, for a vehicle, its tank; null leaves everything. */
  readonly steps: Steps | null;
}

function ownAt(table: Table, holder: Pick<PartyClass, 'list' | 'capacity'>, place: Place): Own {
  const { book } = table;
  const lead = holder.list.at(place.at, place.product);
  const tank = holder.capacity === null ? null : book.level(holder.capacity, table.tank);
  return { party: lead !== null, lead, steps: lead && tank ? book.least(lead, tank) : (lead ?? tank) };
}

function allowancesIn(book: Book, steps: Steps): string[] {
  const ids: string[] = [];
  for (let i = 0; i < steps.room.length; i++) {
    if ((steps.room[i] as number) < LEAST_USEFUL) continue;
    const id = book.reasons[steps.why[i] as number]?.allowance;
    if (id) ids.push(id);
  }
  return ids;
}

/**
 * Places by product at one site of each kind: sites that every allowance and every holder treats alike, that identify alike and give alike
 * are one place, so an estate of hundreds of sites has a few dozen.
 */
function placesOf(table: Table): readonly Place[] {
  const marks = new Set<Uint8Array>();
  for (const { list, sites } of [...table.drivers, ...table.vehicles]) {
    if (sites) marks.add(sites);
    for (const terms of list.terms) if (terms.sites) marks.add(terms.sites);
  }
  const kindOf = new Map<string, string>();
  const places = new Map<string, Place>();
  for (const hose of table.hoses) {
    const site = table.policy.sites.get(hose.siteId) as PolicySite;
    if (site.questions.some(unanswerable)) continue;
    let kind = kindOf.get(hose.siteId);
    if (kind === undefined) {
      kind = site.row.identify;
      for (const mark of marks) kind += mark[hose.site] === 1 ? 1 : 0;
      kindOf.set(hose.siteId, kind);
    }
    const key = `${kind} ${hose.product} ${hose.mostPerFill}`;
    const place = places.get(key);
    if (place) place.hoses.push(hose);
    else places.set(key, { site, at: hose.site, product: hose.product, hoses: [hose], most: hose.most });
  }
  return [...places.values()];
}

/** The places that a list of allowances covers; each different list is looked at once. All places for an empty list, which is silent. */
function coverage(places: readonly Place[]): (list: TermsList) => readonly Place[] {
  const byTerms = new Map<Terms, readonly number[]>();
  const ofTerms = (terms: Terms) => {
    let list = byTerms.get(terms);
    if (!list) {
      list = [...places.keys()].filter((n) => {
        const place = places[n] as Place;
        return terms.products[place.product] === 1 && terms.sites?.[place.at] !== 0;
      });
      byTerms.set(terms, list);
    }
    return list;
  };
  const known = new Map<TermsList, readonly Place[]>();
  return (list) => {
    if (list.terms.length === 0) return places;
    let covered = known.get(list);
    if (!covered) {
      covered = [...new Set(list.terms.flatMap(ofTerms))].map((n) => places[n] as Place);
      known.set(list, covered);
    }
    return covered;
  };
}

function widestOf(
  table: Table,
  covered: (list: TermsList) => readonly Place[],
  classes: readonly PartyClass[],
): Map<Place, Widest> {
  const { book } = table;
  const rights = new Map<TermsList, Map<Uint8Array | null, Rights>>();
  for (const { list, sites, capacity } of classes) {
    const bySites = rights.get(list) ?? new Map<Uint8Array | null, Rights>();
    rights.set(list, bySites);
    const known = bySites.get(sites);
    if (!known) bySites.set(sites, { list, sites, capacity });
    else if (known.capacity !== null) known.capacity = capacity === null ? null : Math.max(known.capacity, capacity);
  }
  const unbounded = book.level(UNBOUNDED, table.tank);
  const widest = new Map<Place, Widest>();
  for (const right of [...rights.values()].flatMap((bySites) => [...bySites.values()])) {
    const side = right.list.terms.length > 0 ? 'party' : 'silent';
    for (const place of covered(right.list)) {
      if (right.sites?.[place.at] === 0) continue;
      let here = widest.get(place);
      if (!here) {
        here = { party: null, silent: null };
        widest.set(place, here);
      }
      const steps = ownAt(table, right, place).steps ?? unbounded;
      here[side] = here[side] === null ? steps : book.most(here[side], steps);
    }
  }
  return widest;
}
