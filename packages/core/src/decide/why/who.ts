import type { Credential, Driver, Fleet, Vehicle } from '../../fleet/index.ts';
import type { Change, WhyCase } from './types.ts';

export type HolderRow = { readonly table: 'drivers' | 'vehicles'; readonly row: Driver | Vehicle };

/** The credentials that the numbers are known to be of: a number that two carry is nobody's. */
export const cardsOf = (fleet: Fleet, numbers: readonly string[]): Credential[] =>
  numbers.flatMap((number) => {
    const all = [...fleet.credentials.values()].filter((c) => c.number === number);
    return all.length === 1 ? all : [];
  });

/** Those of the roster whom the credentials name, each once. */
export function holdersOf(fleet: Fleet, cards: readonly Credential[]): HolderRow[] {
  const out = new Map<string, HolderRow>();
  for (const card of cards) {
    const driver = fleet.drivers.get(card.driver ?? '');
    const vehicle = fleet.vehicles.get(card.vehicle ?? '');
    if (driver) out.set(`d ${driver.id}`, { table: 'drivers', row: driver });
    if (vehicle) out.set(`v ${vehicle.id}`, { table: 'vehicles', row: vehicle });
  }
  return [...out.values()];
}

interface Dated {
  readonly validFrom: string | null;
  readonly validUntil: string | null;
}

/** What must be changed about a row's dates for it to hold on this one. */
export function datesFor(row: Dated, date: string): [string, string][] {
  const out: [string, string][] = [];
  if ((row.validFrom ?? date) > date) out.push(['validFrom', date]);
  if ((row.validUntil ?? date) < date) out.push(['validUntil', date]);
  return out;
}

interface Presentable {
  readonly change: Extract<Change, { kind: 'present' }>;
  readonly holder: HolderRow;
}

/**
 * One credential of each kind of driver or vehicle that this request can tell apart, naming them alone: whoever could stand there instead.
 * Another driver's card is no remedy; a missing driver's is. Nobody is offered who could draw nothing here whatever else were changed: not valid
 * today, not for this site, a tank below `need` (microlitres), or allowances of which none can come to hold here.
 */
export function presentable(
  { fleet, request, usage }: WhyCase,
  cards: readonly Credential[],
  holders: readonly HolderRow[],
  date: string,
  need: number,
): Presentable[] {
  // A number that is nobody's stays presented, and is refused.
  if (cards.length < request.credentials.length) return [];
  const carried = new Map<string, number>();
  for (const { number } of fleet.credentials.values()) carried.set(number, (carried.get(number) ?? 0) + 1);
  const here = allowancesHere(fleet, request.site, holders);
  const kinds = new Map<string, Presentable>();
  for (const card of fleet.credentials.values()) {
    const table = card.driver === null ? 'vehicles' : 'drivers';
    const id = card.driver ?? card.vehicle ?? '';
    const taken = cards.some((c) => (table === 'drivers' ? c.driver !== null : c.vehicle === id));
    // One that names both is not asked for: it would bring another driver along.
    if ((card.driver === null) === (card.vehicle === null) || taken) continue;
    if (carried.get(card.number) !== 1 || card.stopped || datesFor(card, date).length > 0) continue;
    const row = fleet[table].get(id);
    if (!row?.active || datesFor(row, date).length > 0 || row.sites?.includes(request.site) === false) continue;
    const { capacity = null, counter } = row as Partial<Vehicle>;
    const allowances = row.allowances.filter((a) => here.has(a));
    const named = row.allowances.some((a) => fleet.allowances.has(a));
    if ((capacity !== null && capacity < need) || (named && allowances.length === 0)) continue;
    const drawn = allowances.map((a) => usage.used[`${table.slice(0, -1)}:${id} ${a}`]);
    const read = [usage.readings[`${id} odometer`], usage.readings[`${id} hours`]];
    const until = [row.validUntil, card.validUntil];
    const key = JSON.stringify([table, allowances, row.questions, until, counter, drawn, read]);
    const had = kinds.get(key);
    const change = had
      ? { ...had.change, alike: had.change.alike + 1 }
      : ({ kind: 'present', table, id, number: card.number, alike: 0 } as const);
    kinds.set(key, { change, holder: had?.holder ?? { table, row } });
  }
  return [...kinds.values()];
}

/** Allowances that cover this site and a product of it, and those of whoever is known, which could be changed. */
function allowancesHere(fleet: Fleet, site: string, holders: readonly HolderRow[]): ReadonlySet<string> {
  const products = new Set([...fleet.hoses.values()].filter((h) => h.site === site).map((h) => h.product));
  const here = new Set(holders.flatMap((h) => h.row.allowances));
  for (const a of fleet.allowances.values())
    if ((a.sites === null || a.sites.includes(site)) && a.products.some((p) => products.has(p))) here.add(a.id);
  return here;
}
