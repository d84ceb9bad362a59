import { LEAST_USEFUL, nameOf, type PolicyHose, type PolicySite, unanswerable } from '../decide/index.ts';
import { WEEK_MINUTES } from '../fleet/index.ts';
import { accessOf, identifies, type Presented } from './access.ts';
import { cardsFor } from './cards.ts';
import type { Progress } from './change.ts';
import { type Days, intersect, union, weekdayCounts, without } from './days.ts';
import type { PartyClass } from './party-class.ts';
import { ruleWords } from './rule-words.ts';
import { spansOf, standingOf } from './standing.ts';
import type { Reason, Steps } from './steps.ts';
import type { HoseClass, Table } from './table.ts';

/** A site, and who presents themselves there: a driver, a vehicle or both; or anybody of a department, who is not named beside them. With nobody named, anybody. */
export interface Place {
  /** '' is every site. */
  readonly site: string;
  readonly driver: string | null;
  readonly vehicle: string | null;
  readonly department: string | null;
  /** Where a driver or a vehicle alone is named: whoever else may come with them, instead of nobody. */
  readonly withAnybody?: boolean;
}

/** Minutes of the week [from, to) during which `room` microlitres may be drawn in one fill, 0 for none; `by` is the rule in words. */
export interface RoomStretch {
  readonly from: number;
  readonly to: number;
  readonly room: number;
  readonly by: string;
}

/** Hoses of a site that no rule can tell apart. */
interface HosesHere {
  readonly hoses: readonly string[];
  readonly product: string;
}

/**
 * What may be drawn from them over the week, on `days`: the `dates` of whoever draws less the site's closed days; `nothing` says why
 * where it is nothing at any time.
 */
export interface WeekHere extends HosesHere {
  readonly stretches: readonly RoomStretch[];
  readonly dates: Days;
  readonly days: Days;
  readonly nothing: string | null;
}

/** How many of the roster can draw from them at some time within the table's days. */
export interface CountHere extends HosesHere {
  readonly driversAlone: number;
  readonly driversWithVehicle: number;
  readonly driversNever: number;
  readonly vehiclesAlone: number;
}

export interface Here {
  readonly place: Place;
  readonly horizon: Days;
  readonly closed: Days;
  /** Why whoever was chosen cannot present themselves. */
  readonly why: string | null;
  /** Numbers that present them on the first day on which they stand there. */
  readonly cards: readonly string[];
  /** By hoses that no rule can tell apart; of every site: by product, the most that any of them gives. */
  readonly weeks: readonly WeekHere[];
  /** Of every site: what each gives. */
  readonly sites: readonly (WeekHere & { readonly site: string })[];
  /** Of one site. */
  readonly counts: readonly CountHere[];
}

/** The most that whoever is meant may draw at a hose over the week, and on which days; what is said where it is nothing. */
type Most = (hose: HoseClass) => readonly [steps: Steps | null, dates: Days, none: string];
type MeantBy = { readonly most: Most; readonly cards: readonly string[] } | { readonly why: string };

/**
 * What may be drawn at one site over the week, or at every one: exact. A generator, so that whoever drives it can show how far it is, and stop
 * it: without anybody chosen, each hose is a look over the classes of the roster.
 */
export function* hereOf(table: Table, place: Place): Generator<Progress, Here> {
  const everywhere = place.site === '';
  const classes = table.hoses.filter((h) => everywhere || h.siteId === place.site);
  const closed = everywhere ? [] : intersect(table.horizon, classes[0]?.closed ?? []);
  const base = { place, horizon: table.horizon, closed, why: null, cards: [], sites: [], counts: [] };
  const meant = meantBy(table, place);
  if ('why' in meant) return { ...base, why: meant.why, weeks: [] };
  const { most, cards } = meant;
  const found: [HoseClass, Steps | null, WeekHere][] = [];
  const counts: CountHere[] = [];
  for (const [done, hose] of classes.entries()) {
    yield { done, of: classes.length };
    const [steps, dates, none] = most(hose);
    found.push([hose, steps, weekOf(table, hose, steps, dates, none)]);
    if (!everywhere) counts.push(countsAt(table, hose));
  }
  const weeks = found.map(([, , week]) => week);
  if (!everywhere) return { ...base, cards, counts, weeks };
  const sites = found.map(([hose, , week]) => ({ site: hose.siteId, ...week }));
  return { ...base, cards, sites, weeks: byProduct(table, found) };
}

/** The most that whoever a place means may draw at a hose, with numbers that present them; or why they cannot present themselves. */
function meantBy(table: Table, { driver, vehicle, department, withAnybody }: Place): MeantBy {
  const most = (them: Meant, none: string): MeantBy => ({
    most: (hose) => [...bestOf(table, them, hose), none],
    cards: [],
  });
  if (department !== null) {
    const { drivers, vehicles } = table.policy.fleet;
    const of = (row: { readonly department: string } | undefined) => row?.department === department;
    const them = { driver: (id: string) => of(drivers.get(id)), vehicle: (id: string) => of(vehicles.get(id)) };
    return most(them, 'nobody of them may draw here');
  }
  if (driver === null && vehicle === null)
    return most({ driver: () => true, vehicle: () => true }, 'nobody may draw here');
  const standing = standingOf(table, driver, vehicle);
  if (withAnybody && (driver === null || vehicle === null)) {
    const isCoupled = table.couples.some(
      (c) => c.days.length > 0 && (c.driverId === driver || c.vehicleId === vehicle),
    );
    if (!standing.stands && !isCoupled) return standing;
    const none = driver === null ? 'nothing alone, nor with any driver' : 'nothing alone, nor with any vehicle';
    return most({ driver: (id) => id === driver, vehicle: (id) => id === vehicle }, none);
  }
  if (!standing.stands) return standing;
  const { who, days } = standing;
  return {
    most: (hose) => [accessOf(table, who, hose), days, whyNothing(table, who, hose)],
    cards: cardsFor(table.policy, driver, vehicle, days[0] as number),
  };
}

/** The most that may be drawn of each product anywhere, at each minute by the clock of the place. */
function byProduct(table: Table, found: readonly [HoseClass, Steps | null, WeekHere][]): WeekHere[] {
  const products = new Map<string, { steps: Steps | null; hoses: string[]; open: string[]; dates: Days; days: Days }>();
  for (const [, steps, week] of found) {
    let all = products.get(week.product);
    if (!all) {
      all = { steps: null, hoses: [], open: [], dates: [], days: [] };
      products.set(week.product, all);
    }
    all.hoses.push(...week.hoses);
    if (week.nothing !== null || steps === null) continue;
    all.open.push(...week.hoses);
    all.steps = all.steps === null ? steps : table.book.most(all.steps, steps);
    all.dates = union([...spansOf(all.dates), ...spansOf(week.dates)]);
    all.days = union([...spansOf(all.days), ...spansOf(week.days)]);
  }
  return [...products].map(([product, { steps, hoses, open, dates, days }]) =>
    steps === null
      ? { product, hoses, dates, days, stretches: [], nothing: 'nothing may be drawn at any site' }
      : { product, hoses: open, dates, days, stretches: stretchesOf(table, steps), nothing: null },
  );
}

const hosesOf = (table: Table, hose: HoseClass): HosesHere => {
  const { fleet } = table.policy;
  const { product } = (hose.members[0] as PolicyHose).row;
  return { hoses: hose.members.map((m) => m.row.id), product: nameOf(fleet, 'products', product) };
};

function weekOf(table: Table, hose: HoseClass, steps: Steps | null, dates: Days, none: string): WeekHere {
  const base = { ...hosesOf(table, hose), dates, days: without(dates, hose.closed) };
  if (steps === null) return { ...base, stretches: [], nothing: none };
  const stretches = stretchesOf(table, steps);
  if (opensOn(steps, base.days)) return { ...base, stretches, nothing: null };
  const words = [...new Set(stretches.map((s) => s.by))].slice(0, 3).join('; ');
  const never = steps.top >= LEAST_USEFUL ? 'its times fall on no day on which they may draw' : words;
  return { ...base, stretches: [], nothing: never };
}

function stretchesOf(table: Table, steps: Steps): RoomStretch[] {
  return steps.from.map((from, i): RoomStretch => {
    const room = steps.room[i] as number;
    const reason = table.book.reasons[steps.why[i] as number] as Reason;
    const words = ruleWords(table.policy.fleet, reason);
    const little = room > 0 && room < LEAST_USEFUL;
    return {
      from,
      to: steps.from[i + 1] ?? WEEK_MINUTES,
      room: room < LEAST_USEFUL ? 0 : room,
      by: little ? `${words}, which leaves less than the least that is given` : words,
    };
  });
}

/** The rule for which nobody who presents so draws from this hose: in the order in which a decision looks. */
function whyNothing(table: Table, who: Presented, hose: HoseClass): string {
  const site = table.policy.sites.get(hose.siteId) as PolicySite;
  const { driver, vehicle } = who;
  const denied = (party: PartyClass | null) => party?.sites != null && party.sites[hose.site] !== 1;
  const say = (rule: string) => ruleWords(table.policy.fleet, { rule, allowance: null });
  if (denied(driver) || denied(vehicle)) return say('holder-site');
  if (!identifies(site, driver !== null, vehicle !== null)) {
    const need = site.row.identify;
    return need === 'both' ? 'the site must know a driver and a vehicle' : `the site must know a ${need}`;
  }
  if (driver?.mute || vehicle?.mute || site.questions.some(unanswerable)) return say('question');
  return 'nobody presented holds an allowance';
}

/** Whether a step is open at some minute of some day. */
export function opensOn(steps: Steps, days: Days): boolean {
  const counts = weekdayCounts(days);
  return steps.from.some((from, i) => {
    if ((steps.room[i] as number) < LEAST_USEFUL) return false;
    const to = steps.from[i + 1] ?? WEEK_MINUTES;
    return counts.some((n, day) => n > 0 && from < (day + 1) * 1440 && to > day * 1440);
  });
}

const can = (table: Table, who: Presented, days: Days, hose: HoseClass): boolean => {
  const steps = accessOf(table, who, hose);
  return steps !== null && opensOn(steps, without(days, hose.closed));
};

/** Holders who meet one hose alike but for the size of a vehicle's tank: the largest stands for all, since it may draw the most. */
interface Meeting {
  party: PartyClass;
  readonly classes: PartyClass[];
}

const tankOf = (party: PartyClass): number => party.capacity ?? Number.MAX_SAFE_INTEGER;

/** Those of the classes that somebody could draw with at this hose, joined where they meet it alike: few, however many classes there are. */
export function meetingsAt(classes: readonly PartyClass[], hose: HoseClass): Meeting[] {
  const byKey = new Map<string, Meeting>();
  for (const party of classes) {
    if (party.mute || tankOf(party) < LEAST_USEFUL || (party.sites !== null && party.sites[hose.site] !== 1)) continue;
    const steps = party.list.at(hose.site, hose.product);
    if (steps !== null && steps.top < LEAST_USEFUL) continue;
    const key = `${steps?.id ?? ''} ${party.days.join()}`;
    const had = byKey.get(key);
    if (!had) byKey.set(key, { party, classes: [party] });
    else {
      had.classes.push(party);
      if (tankOf(party) > tankOf(had.party)) had.party = party;
    }
  }
  return [...byKey.values()];
}

function countsAt(table: Table, hose: HoseClass): CountHere {
  const { couples, policy } = table;
  const drivers = meetingsAt(table.drivers, hose);
  // A vehicle that fits another driver fits the next one too, as a rule: looked at first, it is found at once.
  const vehicles = meetingsAt(table.vehicles, hose).sort((a, b) => b.classes.length - a.classes.length);
  const heads = (m: Meeting) => m.classes.reduce((n, c) => n + c.members.length, 0);
  const coupled = new Map<PartyClass, Set<string>>();
  for (const c of couples) {
    if (!can(table, c, c.days, hose)) continue;
    const had = coupled.get(c.driver);
    if (had) had.add(c.driverId);
    else coupled.set(c.driver, new Set([c.driverId]));
  }
  let [alone, withVehicle] = [0, 0];
  for (const m of drivers) {
    const { party: driver } = m;
    if (can(table, { driver, vehicle: null }, driver.days, hose)) alone += heads(m);
    else if (vehicles.some((v) => can(table, { driver, vehicle: v.party }, intersect(driver.days, v.party.days), hose)))
      withVehicle += heads(m);
    else for (const c of m.classes) withVehicle += coupled.get(c)?.size ?? 0;
  }
  const vehiclesAlone = vehicles
    .filter(({ party }) => can(table, { driver: null, vehicle: party }, party.days, hose))
    .reduce((n, m) => n + heads(m), 0);
  return {
    ...hosesOf(table, hose),
    driversAlone: alone,
    driversWithVehicle: withVehicle,
    driversNever: policy.drivers.size - alone - withVehicle,
    vehiclesAlone,
  };
}

/** Whether a driver, or a vehicle, is one of those who are meant. */
interface Meant {
  driver(id: string): boolean;
  vehicle(id: string): boolean;
}

/** The most that any of them may draw at each minute, alone or with anybody of the fleet, and on which days somebody may. */
function bestOf(table: Table, meant: Meant, hose: HoseClass): [Steps | null, Days] {
  const partOf = (classes: readonly PartyClass[], of: (id: string) => boolean) =>
    meetingsAt(
      classes.filter((c) => c.members.some((m) => of(m.id))),
      hose,
    );
  const all = { drivers: meetingsAt(table.drivers, hose), vehicles: meetingsAt(table.vehicles, hose) };
  const found = new Set<Steps>();
  const spans: [number, number][] = [];
  const known = new Set<string>();
  const meet = (driver: PartyClass | null, vehicle: PartyClass | null, days: Days) => {
    const steps = accessOf(table, { driver, vehicle }, hose);
    if (steps === null || !opensOn(steps, without(days, hose.closed))) return;
    found.add(steps);
    const key = days.join();
    if (!known.has(key)) spans.push(...spansOf(days));
    known.add(key);
  };
  for (const { party: d } of partOf(table.drivers, meant.driver)) {
    meet(d, null, d.days);
    for (const { party: v } of all.vehicles) meet(d, v, intersect(d.days, v.days));
  }
  for (const { party: v } of partOf(table.vehicles, meant.vehicle)) {
    meet(null, v, v.days);
    for (const { party: d } of all.drivers) meet(d, v, intersect(d.days, v.days));
  }
  for (const c of table.couples)
    if (meant.driver(c.driverId) || meant.vehicle(c.vehicleId)) meet(c.driver, c.vehicle, c.days);
  let best: Steps | null = null;
  for (const steps of found) best = best === null ? steps : table.book.most(best, steps);
  return [best, union(spans)];
}
