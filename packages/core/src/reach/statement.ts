import { LEAST_USEFUL, type PolicySite, unanswerable } from '../decide/index.ts';
import { type Stretch, WEEK_MINUTES } from '../fleet/index.ts';
import { accessOf, identifies } from './access.ts';
import type { Progress } from './change.ts';
import { type Days, intersect, weekdayCounts, without } from './days.ts';
import type { Reason, Steps } from './steps.ts';
import type { HoseClass, PartyClass, Table } from './table.ts';

/** Whom or what an access statement is about. */
export type About =
  | { readonly kind: 'site' | 'driver' | 'vehicle'; readonly id: string }
  | { readonly kind: 'department'; readonly name: string };

/** Who may draw what at the sites that concern somebody: reach, put together as a person would say it. */
export interface AccessStatement {
  readonly about: About;
  /** First and last day that it speaks of. */
  readonly horizon: Days;
  readonly sites: readonly SiteAccess[];
  /** Sites in service at which nobody whom it is about may draw anything. */
  readonly without: readonly string[];
}

export interface SiteAccess {
  readonly site: string;
  readonly drivers: readonly Group[];
  readonly vehicles: readonly Group[];
  readonly rows: readonly AccessRow[];
  /** Of those whom it is about: who may draw nothing here at any time, by reason. */
  readonly never: readonly Never[];
}

/** Holders who meet every hose of a site alike, but for what a vehicle's own tank holds. */
export interface Group {
  /** 'D1', 'V2'. */
  readonly label: string;
  readonly ids: readonly string[];
  /** Days on which they can present themselves, each by a credential of their own. */
  readonly days: Days;
}

/** One thing that may be drawn: whoever of `drivers` with whoever of `vehicles` (null: nobody), from any of the hoses. */
export interface AccessRow {
  readonly hoses: readonly string[];
  readonly product: string;
  readonly drivers: Group | null;
  readonly vehicles: Group | null;
  /** One credential names both, so the pair stands alone: driver and vehicle. */
  readonly pair: readonly [string, string] | null;
  /** Most in one fill, microlitres, when nothing was drawn before; never more than the vehicle's own tank holds. */
  readonly room: number;
  readonly reason: Reason;
  readonly times: readonly Stretch[];
  /** Less the site's closed days. */
  readonly days: Days;
}

export interface Never {
  readonly why: 'not active' | 'no credential' | 'not their site' | 'question' | 'no allowance here' | 'never together';
  readonly drivers: readonly string[];
  readonly vehicles: readonly string[];
}

/**
 * Puts the statement together. Cost grows with the sites, and at each with its groups of drivers times those of vehicles. A generator, so that
 * whoever drives it can show how far it is, and stop it.
 */
export function* accessStatement(table: Table, about: About): Generator<Progress, AccessStatement> {
  const { policy } = table;
  const inService = [...policy.sites.values()].filter((s) => s.row.active);
  const at = about.kind === 'site' ? inService.filter((s) => s.row.id === about.id) : inService;
  const sites: SiteAccess[] = [];
  const none: string[] = [];
  for (const [done, site] of at.entries()) {
    yield { done, of: at.length };
    const found = siteAccess(table, site, about);
    if (found.rows.length > 0 || about.kind === 'site') sites.push(found);
    else none.push(site.row.id);
  }
  return { about, horizon: table.horizon, sites, without: none };
}

type Member = { readonly id: string; readonly party: PartyClass };
interface Grouped extends Group {
  readonly party: PartyClass;
  readonly concerned: boolean;
}

function siteAccess(table: Table, site: PolicySite, about: About): SiteAccess {
  const { policy } = table;
  const concerns = (kind: 'driver' | 'vehicle', id: string): boolean => {
    if (about.kind === 'site') return true;
    if (about.kind !== 'department') return about.kind === kind && about.id === id;
    const row = kind === 'driver' ? policy.fleet.drivers.get(id) : policy.fleet.vehicles.get(id);
    return row?.department === about.name;
  };
  const hoses = table.hoses.filter((h) => h.site === site.index);
  const drivers = groupsOf(table.drivers, hoses, 'D', (id) => concerns('driver', id));
  const vehicles = groupsOf(table.vehicles, hoses, 'V', (id) => concerns('vehicle', id));
  const rows: AccessRow[] = [];
  const add = (d: Grouped | null, v: Grouped | null, days: Days) => {
    for (const hose of hoses) rows.push(...rowsOf(table, hose, d, v, null, days));
  };
  for (const d of drivers) if (d.concerned) add(d, null, d.days);
  for (const v of vehicles) if (v.concerned) add(null, v, v.days);
  for (const d of drivers)
    for (const v of vehicles) if (d.concerned || v.concerned) add(d, v, intersect(d.days, v.days));
  for (const c of table.couples) {
    if (!concerns('driver', c.driverId) && !concerns('vehicle', c.vehicleId)) continue;
    for (const hose of hoses) rows.push(...rowsOf(table, hose, c.driver, c.vehicle, [c.driverId, c.vehicleId], c.days));
  }
  const used = new Set(rows.flatMap((r) => [r.drivers, r.vehicles]));
  return {
    site: site.row.id,
    drivers: drivers.filter((g) => used.has(g)).map(bare),
    vehicles: vehicles.filter((g) => used.has(g)).map(bare),
    rows: together(rows),
    never: neverOf(table, site, hoses, rows, concerns),
  };
}

const bare = ({ label, ids, days }: Group): Group => ({ label, ids, days });

/** Members of classes by what they meet at these hoses, days included, those concerned apart from the others. */
function groupsOf(
  classes: readonly PartyClass[],
  hoses: readonly HoseClass[],
  letter: string,
  concerned: (id: string) => boolean,
): Grouped[] {
  const groups = new Map<string, { party: PartyClass; concerned: boolean; members: Member[] }>();
  for (const party of classes) {
    if (party.mute || party.days.length === 0) continue;
    if (party.capacity !== null && party.capacity < LEAST_USEFUL) continue;
    const meets = hoses.map((h) => {
      if (party.sites !== null && party.sites[h.site] !== 1) return '-';
      const steps = party.list.at(h.site, h.product);
      return steps === null ? '' : steps.top < LEAST_USEFUL ? '-' : String(steps.id);
    });
    if (meets.every((m) => m === '-')) continue;
    for (const { id } of party.members) {
      const mine = concerned(id);
      const key = `${meets.join()} ${party.days.join()} ${mine}`;
      const had = groups.get(key);
      if (had) had.members.push({ id, party });
      else groups.set(key, { party: { ...party, capacity: null }, concerned: mine, members: [{ id, party }] });
    }
  }
  return [...groups.values()].map((g, n) => ({
    label: `${letter}${n + 1}`,
    ids: g.members.map((m) => m.id),
    days: g.party.days,
    party: g.party,
    concerned: g.concerned,
  }));
}

function rowsOf(
  table: Table,
  hose: HoseClass,
  driver: Grouped | PartyClass | null,
  vehicle: Grouped | PartyClass | null,
  pair: readonly [string, string] | null,
  dates: Days,
): AccessRow[] {
  const party = (p: Grouped | PartyClass | null) => (p === null ? null : 'party' in p ? p.party : p);
  const steps = accessOf(table, { driver: party(driver), vehicle: party(vehicle) }, hose);
  if (steps === null || steps.top < LEAST_USEFUL) return [];
  const days = without(dates, hose.closed);
  const group = (p: Grouped | PartyClass | null) => (p !== null && 'party' in p ? p : null);
  const base = {
    hoses: hose.members.map((m) => m.row.id),
    product: hose.members[0]?.row.product ?? '',
    drivers: group(driver),
    vehicles: group(vehicle),
    pair,
    days,
  };
  return [...byRoom(steps)].flatMap(([, { room, why, times }]) =>
    fallsOn(times, days)
      ? [{ ...base, room, reason: table.book.reasons[why] ?? { rule: '', allowance: null }, times }]
      : [],
  );
}

/** The stretches of a step function that let something through, those with the same room and reason together. */
function byRoom(steps: Steps): Map<string, { room: number; why: number; times: Stretch[] }> {
  const rooms = new Map<string, { room: number; why: number; times: Stretch[] }>();
  for (const [i, from] of steps.from.entries()) {
    const [room, why] = [steps.room[i] as number, steps.why[i] as number];
    if (room < LEAST_USEFUL) continue;
    const stretch = { from, to: steps.from[i + 1] ?? WEEK_MINUTES };
    const had = rooms.get(`${room} ${why}`);
    if (had) had.times.push(stretch);
    else rooms.set(`${room} ${why}`, { room, why, times: [stretch] });
  }
  return rooms;
}

function fallsOn(times: readonly Stretch[], days: Days): boolean {
  const counts = weekdayCounts(days);
  return times.some((s) => counts.some((n, day) => n > 0 && s.from < (day + 1) * 1440 && s.to > day * 1440));
}

/** Rows that say the same of hoses of one product, as one. */
function together(rows: readonly AccessRow[]): AccessRow[] {
  const out = new Map<string, AccessRow>();
  for (const row of rows) {
    const who = [row.drivers?.label, row.vehicles?.label, row.pair?.join()].join();
    const times = row.times.map((s) => `${s.from}-${s.to}`).join();
    const { rule, allowance } = row.reason;
    const key = [row.product, who, row.room, rule, allowance, times, row.days.join()].join();
    const had = out.get(key);
    out.set(key, had ? { ...had, hoses: [...had.hoses, ...row.hoses] } : row);
  }
  return [...out.values()];
}

function neverOf(
  table: Table,
  site: PolicySite,
  hoses: readonly HoseClass[],
  rows: readonly AccessRow[],
  concerns: (kind: 'driver' | 'vehicle', id: string) => boolean,
): Never[] {
  const { policy } = table;
  const can = { driver: new Set<string>(), vehicle: new Set<string>() };
  for (const r of rows) {
    for (const id of r.drivers?.ids ?? []) can.driver.add(id);
    for (const id of r.vehicles?.ids ?? []) can.vehicle.add(id);
    if (r.pair) can.driver.add(r.pair[0]);
    if (r.pair) can.vehicle.add(r.pair[1]);
  }
  const found = new Map<Never['why'], { drivers: string[]; vehicles: string[] }>();
  for (const kind of ['driver', 'vehicle'] as const) {
    for (const holder of (kind === 'driver' ? policy.drivers : policy.vehicles).values()) {
      if (can[kind].has(holder.id) || !concerns(kind, holder.id)) continue;
      const party = (kind === 'driver' ? table.driverOf : table.vehicleOf).get(holder.id);
      const why = whyNever(site, hoses, holder.active, party, kind);
      const list = found.get(why) ?? { drivers: [], vehicles: [] };
      list[kind === 'driver' ? 'drivers' : 'vehicles'].push(holder.id);
      found.set(why, list);
    }
  }
  return [...found].map(([why, list]) => ({ why, ...list }));
}

function whyNever(
  site: PolicySite,
  hoses: readonly HoseClass[],
  active: boolean,
  party: PartyClass | undefined,
  kind: 'driver' | 'vehicle',
): Never['why'] {
  if (!active) return 'not active';
  if (!party || party.days.length === 0) return 'no credential';
  if (party.sites !== null && party.sites[site.index] !== 1) return 'not their site';
  if (party.mute || site.questions.some(unanswerable)) return 'question';
  const own = hoses.map((h) => party.list.at(h.site, h.product));
  if (own.length > 0 && own.every((s) => s !== null && s.top < LEAST_USEFUL)) return 'no allowance here';
  const alone = identifies(site, kind === 'driver', kind === 'vehicle');
  return alone ? 'no allowance here' : 'never together';
}
