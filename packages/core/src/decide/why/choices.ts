import { type Credential, type Driver, type Fleet, stretchesOf, type Vehicle, within } from '../../fleet/index.ts';
import { formatDate, localMoment, monthStart, offsetMinutesAt, parseDate, type ZoneTable } from '../../units/index.ts';
import { LEAST_USEFUL } from '../look.ts';
import type { Zones } from '../types.ts';
import { wallOf, zoneOf } from './apply.ts';
import type { Change, WhyCase } from './types.ts';

const DAY_MS = 86_400_000;
/** How far ahead another time is looked for. */
export const DAYS_AHEAD = 35;

/**
 * Everything that a person could have changed about this request, each by itself. Not among it, since it would weaken the site for
 * everybody: fewer credentials asked for, no PIN, no questions. `wanted` is the volume to be drawn (microlitres).
 */
export function choicesOf(base: WhyCase, wanted: number, zones: Zones): Change[] {
  const { fleet, request } = base;
  const { day } = wallOf(base, zones);
  const date = formatDate(day);
  const list: Change[] = [];
  const field = (table: Extract<Change, { kind: 'field' }>['table'], id: string, name: string, to: Value) =>
    list.push({ kind: 'field', table, id, field: name, to });
  const site = fleet.sites.get(request.site);
  const need = Math.max(wanted, LEAST_USEFUL);

  for (const hose of fleet.hoses.values())
    if (hose.site === request.site && hose.id !== request.hose) list.push({ kind: 'hose', hose: hose.id });
  if (request.pin !== 'right') list.push({ kind: 'pin' });
  if (base.usage.cutOff) list.push({ kind: 'link' });
  if (site && !site.active) field('sites', site.id, 'active', true);
  if (site?.closed.includes(date)) field('sites', site.id, 'closed', date);
  const hose = fleet.hoses.get(request.hose);
  if (hose && hose.site === request.site) {
    if (!hose.active) field('hoses', hose.id, 'active', true);
    if (request.terminal && !hose.terminals.includes(request.terminal))
      field('hoses', hose.id, 'terminals', request.terminal);
    if (hose.mostPerFill < need) field('hoses', hose.id, 'mostPerFill', need);
  }

  const cards = cardsOf(fleet, request.credentials);
  for (const card of cards) {
    if (card.stopped) field('credentials', card.id, 'stopped', false);
    for (const [name, to] of datesFor(card, date)) field('credentials', card.id, name, to);
  }
  const holders = holdersOf(fleet, cards);
  const questions = new Set(site?.questions ?? []);
  for (const { table, row } of holders) {
    if (!row.active) field(table, row.id, 'active', true);
    for (const [name, to] of datesFor(row, date)) field(table, row.id, name, to);
    if (row.sites !== null && !row.sites.includes(request.site)) field(table, row.id, 'sites', request.site);
    if (table === 'vehicles' && (row as Vehicle).capacity !== null && ((row as Vehicle).capacity as number) < need)
      field(table, row.id, 'capacity', need);
    for (const q of row.questions) questions.add(q);
    for (const id of row.allowances)
      list.push(...ofAllowance(base, `${table.slice(0, -1)}:${row.id}`, id, need, zones));
    for (const a of fleet.allowances.values()) {
      if (!row.allowances.includes(a.id) && covers(base, a.id, zones))
        list.push({ kind: 'give', table, id: row.id, allowance: a.id });
    }
  }
  for (const id of questions) list.push(...answerFor(base, id, holders));
  list.push(...presentable(fleet, cards, day));
  for (const at of timesAhead(base, holders, zones)) list.push({ kind: 'time', at });
  return unique(list);
}

type Value = string | number | boolean | null;
export type HolderRow = { readonly table: 'drivers' | 'vehicles'; readonly row: Driver | Vehicle };

const unique = (list: readonly Change[]): Change[] => [...new Map(list.map((c) => [JSON.stringify(c), c])).values()];

export const cardsOf = (fleet: Fleet, numbers: readonly string[]): Credential[] =>
  numbers.flatMap((number) => {
    const all = [...fleet.credentials.values()].filter((c) => c.number === number);
    return all.length === 1 ? all : [];
  });

export function holdersOf(fleet: Fleet, cards: readonly Credential[]): HolderRow[] {
  const out = new Map<string, HolderRow>();
  for (const card of cards) {
    const driver = card.driver === null ? undefined : fleet.drivers.get(card.driver);
    const vehicle = card.vehicle === null ? undefined : fleet.vehicles.get(card.vehicle);
    if (driver) out.set(`d ${driver.id}`, { table: 'drivers', row: driver });
    if (vehicle) out.set(`v ${vehicle.id}`, { table: 'vehicles', row: vehicle });
  }
  return [...out.values()];
}

function datesFor(row: { readonly validFrom: string | null; readonly validUntil: string | null }, date: string) {
  const out: [string, string][] = [];
  if (row.validFrom !== null && row.validFrom > date) out.push(['validFrom', date]);
  if (row.validUntil !== null && row.validUntil < date) out.push(['validUntil', date]);
  return out;
}

function covers(base: WhyCase, id: string, zones: Zones): boolean {
  const a = base.fleet.allowances.get(id);
  const hose = base.fleet.hoses.get(base.request.hose);
  if (!a || !hose || !a.products.includes(hose.product)) return false;
  if (a.sites !== null && !a.sites.includes(base.request.site)) return false;
  const { weekday, minute } = wallOf(base, zones);
  return within(stretchesOf(a.times), weekday * 1440 + minute);
}

function ofAllowance(base: WhyCase, holder: string, id: string, need: number, zones: Zones): Change[] {
  const { fleet, request, usage } = base;
  const a = fleet.allowances.get(id);
  const hose = fleet.hoses.get(request.hose);
  if (!a || !hose) return [];
  const list: Change[] = [];
  const field = (name: string, to: Value) => list.push({ kind: 'field', table: 'allowances', id, field: name, to });
  if (!a.products.includes(hose.product)) field('products', hose.product);
  if (a.sites !== null && !a.sites.includes(request.site)) field('sites', request.site);
  const { weekday, minute } = wallOf(base, zones);
  if (!within(stretchesOf(a.times), weekday * 1440 + minute)) field('times', weekday * 1440 + minute);
  if (usage.cutOff && a.cutOff !== 'goOn') field('cutOff', 'goOn');
  const used = usage.used[`${holder} ${id}`] ?? { day: 0, week: 0, month: 0, fillsToday: 0 };
  if (a.fillsPerDay !== null && used.fillsToday >= a.fillsPerDay) field('fillsPerDay', used.fillsToday + 1);
  if (a.perFill !== null && a.perFill < need) field('perFill', need);
  // While cut off only a share of what is left goes out, so the limit must be higher for the same fill.
  const part = usage.cutOff && a.cutOff === 'share' ? a.share : 100;
  const enough = part === 0 ? null : Math.ceil((need * 100) / part);
  for (const [name, drawn] of [
    ['perDay', used.day],
    ['perWeek', used.week],
    ['perMonth', used.month],
  ] as const) {
    const most = a[name];
    if (most !== null && (enough === null || most < drawn + enough))
      field(name, enough === null ? null : drawn + enough);
  }
  return list;
}

/** An answer that each question which this case is asked would accept, for a record that has none. */
export function rightAnswers(base: WhyCase): Record<string, string> {
  const holders = holdersOf(base.fleet, cardsOf(base.fleet, base.request.credentials));
  const asked = new Set(base.fleet.sites.get(base.request.site)?.questions ?? []);
  for (const { row } of holders) for (const q of row.questions) asked.add(q);
  const blank = { ...base, request: { ...base.request, answers: {} } };
  const answers = [...asked].flatMap((id) => answerFor(blank, id, holders));
  return Object.fromEntries(answers.flatMap((c) => (c.kind === 'answer' ? [[c.question, c.answer]] : [])));
}

function answerFor(base: WhyCase, id: string, holders: readonly HolderRow[]): Change[] {
  const q = base.fleet.questions.get(id);
  if (!q) return [];
  const give = (answer: string): Change[] =>
    base.request.answers[id] === answer ? [] : [{ kind: 'answer', question: id, answer }];
  if (q.kind !== 'odometer' && q.kind !== 'hours') return give(q.accepted[0]?.trim() ?? '1');
  const vehicle = holders.find((h) => h.table === 'vehicles')?.row.id;
  const last = vehicle === undefined ? undefined : base.usage.readings[`${vehicle} ${q.kind}`];
  return give(String(last === undefined ? 1 : last + Math.max(q.leastAdvance ?? 0, 0)));
}

/** One credential of each kind of driver or vehicle that rules can tell apart, naming them alone: whoever could stand there instead. */
function presentable(fleet: Fleet, cards: readonly Credential[], day: number): Change[] {
  const date = formatDate(day);
  const out: Change[] = [];
  for (const [table, names] of [
    ['drivers', 'driver'],
    ['vehicles', 'vehicle'],
  ] as const) {
    // Another person's card is no remedy; a missing driver's is.
    if (table === 'drivers' && cards.some((c) => c.driver !== null)) continue;
    const kinds = new Map<string, Extract<Change, { kind: 'present' }>>();
    for (const card of fleet.credentials.values()) {
      const id = card[names];
      const other = names === 'driver' ? card.vehicle : card.driver;
      if (id === null || other !== null || card.stopped || datesFor(card, date).length > 0) continue;
      if (cards.some((c) => c[names] === id)) continue;
      const row = fleet[table].get(id);
      if (!row?.active || datesFor(row, date).length > 0) continue;
      const tank = table === 'vehicles' ? [(row as Vehicle).capacity, (row as Vehicle).counter] : [];
      const key = JSON.stringify([row.allowances, row.sites, row.questions, row.validFrom, row.validUntil, ...tank]);
      const had = kinds.get(key);
      kinds.set(
        key,
        had ? { ...had, alike: had.alike + 1 } : { kind: 'present', table, id, number: card.number, alike: 0 },
      );
    }
    out.push(...kinds.values());
  }
  return out;
}

/** Later moments at which some rule may say otherwise: midnights, first days, and the beginnings of the times of what they hold. */
function timesAhead(base: WhyCase, holders: readonly HolderRow[], zones: Zones): number[] {
  const zone = zoneOf(base, zones);
  const { day } = localMoment(zone, base.request.at);
  const minutes = new Set<number>();
  for (const { row } of holders)
    for (const id of row.allowances) {
      const a = base.fleet.allowances.get(id);
      if (a && a.times !== null) for (const s of stretchesOf(a.times)) minutes.add(s.from);
    }
  const found = new Set<number>();
  const put = (d: number, minute: number) => {
    const at = instantOf(zone, d, minute);
    if (at > base.request.at && d < day + DAYS_AHEAD) found.add(at);
  };
  for (let d = day; d < day + DAYS_AHEAD; d++) {
    const first = d === day + 1 || (d + 3) % 7 === 0 || monthStart(d) === d;
    if (first) put(d, 0);
    if (d < day + 8 || monthStart(d) === d)
      for (const m of minutes) if (Math.floor(m / 1440) === (((d + 3) % 7) + 7) % 7) put(d, m % 1440);
  }
  const closed = base.fleet.sites.get(base.request.site)?.closed ?? [];
  for (const date of closed) {
    const d = parseDate(date);
    if (d !== undefined && d >= day) put(d + 1, 0);
  }
  return [...found].sort((a, b) => a - b);
}

/** The first instant at which the wall shows this minute of this day, or the first after a skipped one. */
function instantOf(zone: ZoneTable, day: number, minute: number): number {
  const wall = day * DAY_MS + minute * 60_000;
  const guess = wall - offsetMinutesAt(zone, wall - 12 * 3_600_000) * 60_000;
  return wall - offsetMinutesAt(zone, guess) * 60_000;
}
