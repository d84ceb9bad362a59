import type { Fleet } from '../fleet/index.ts';
import {
  cardMade,
  type Holder,
  holderMade,
  hoseMade,
  type Makers,
  type Policy,
  type PolicyCard,
  siteMade,
  type Terms,
  termsMade,
} from './policy.ts';
import type { Zones } from './types.ts';

/**
 * The policy of a fleet that grew out of another by edits: rows that are the same objects keep their parts, so that an edit costs what it
 * touches and a look over the rest. Equal to compiling the fleet anew. Null where sites came or went, a question changed, or a product has its
 * first hose: then everything must be compiled.
 */
export function revise(policy: Policy, fleet: Fleet, zones: Zones): Policy | null {
  const was = policy.fleet;
  const sitesChanged = changed(was.sites, fleet.sites);
  if (sitesChanged.some((id) => !was.sites.has(id) || !fleet.sites.has(id))) return null;
  if (changed(was.questions, fleet.questions).length > 0) return null;
  const hosesChanged = changed(was.hoses, fleet.hoses);
  const { productAt } = policy.makers;
  if (hosesChanged.some((id) => fleet.hoses.has(id) && !productAt.has(fleet.hoses.get(id)?.product ?? ''))) return null;

  const allowances = changed(was.allowances, fleet.allowances);
  const makers = allowances.length === 0 ? policy.makers : makersWith(policy.makers, fleet, allowances);
  const drivers = holdersWith(policy.drivers, was.drivers, fleet.drivers, 'drivers', makers);
  const vehicles = holdersWith(policy.vehicles, was.vehicles, fleet.vehicles, 'vehicles', makers);
  let { sites, hoses } = policy;
  if (sitesChanged.length > 0) {
    const next = new Map(sites);
    for (const id of sitesChanged) {
      const row = fleet.sites.get(id);
      if (row) next.set(id, siteMade(makers, row, zones));
    }
    sites = next;
  }
  if (sitesChanged.length > 0 || hosesChanged.length > 0) {
    const touched = new Set(sitesChanged);
    const next = new Map(hoses);
    for (const id of hosesChanged) if (!fleet.hoses.has(id)) next.delete(id);
    const again = new Set(hosesChanged);
    for (const row of fleet.hoses.values())
      if (again.has(row.id) || touched.has(row.site)) next.set(row.id, hoseMade(makers, row, sites));
    hoses = next;
  }
  const cards = cardsWith(policy, fleet, drivers, vehicles);
  return { fleet, sites, hoses, cards, drivers, vehicles, stopped: policy.stopped, makers };
}

/** Ids whose rows are not the same object in both. */
function changed<T>(was: ReadonlyMap<string, T>, is: ReadonlyMap<string, T>): string[] {
  if (was === is) return [];
  const ids: string[] = [];
  for (const [id, row] of is) if (was.get(id) !== row) ids.push(id);
  if (is.size - ids.length < was.size) for (const id of was.keys()) if (!is.has(id)) ids.push(id);
  return ids;
}

/** Makers that know the changed allowances; lists that name none of them stay the same objects. */
function makersWith(makers: Makers, fleet: Fleet, ids: readonly string[]): Makers {
  const allowances = new Map<string, Terms>(makers.allowances);
  for (const id of ids) {
    const row = fleet.allowances.get(id);
    if (row) allowances.set(id, termsMade(makers, row));
    else allowances.delete(id);
  }
  const again = new Set(ids);
  const lists = new Map<string, readonly Terms[]>();
  for (const [key, list] of makers.lists) {
    // An id without an allowance is in the key alone, and it may have come now.
    if (!list.some((t) => again.has(t.row.id)) && !key.split(' ').some((id) => again.has(id))) lists.set(key, list);
  }
  return { ...makers, allowances, lists };
}

function holdersWith<R extends Parameters<typeof holderMade>[2]>(
  holders: ReadonlyMap<string, Holder>,
  was: ReadonlyMap<string, R>,
  is: ReadonlyMap<string, R>,
  table: Holder['table'],
  makers: Makers,
): ReadonlyMap<string, Holder> {
  const ids = new Set(changed(was, is));
  const kept = new Set(makers.lists.values());
  for (const holder of holders.values()) if (!kept.has(holder.terms)) ids.add(holder.id);
  if (ids.size === 0) return holders;
  const next = new Map(holders);
  for (const id of ids) {
    const row = is.get(id);
    if (row) next.set(id, holderMade(makers, table, row));
    else next.delete(id);
  }
  return next;
}

function cardsWith(
  policy: Policy,
  fleet: Fleet,
  drivers: ReadonlyMap<string, Holder>,
  vehicles: ReadonlyMap<string, Holder>,
): Policy['cards'] {
  const was = policy.fleet.credentials;
  const ids = changed(was, fleet.credentials);
  const numbers = new Set(ids.flatMap((id) => [was.get(id)?.number, fleet.credentials.get(id)?.number]));
  const moved = drivers !== policy.drivers || vehicles !== policy.vehicles;
  if (numbers.size === 0 && !moved) return policy.cards;
  const next = new Map<string, PolicyCard | null>(policy.cards);
  for (const number of numbers) if (number !== undefined) next.delete(number);
  if (numbers.size > 0) {
    for (const row of fleet.credentials.values())
      if (numbers.has(row.number)) next.set(row.number, next.has(row.number) ? null : cardMade(row, drivers, vehicles));
  }
  if (moved) {
    for (const [number, card] of next) {
      if (card === null) continue;
      const driver = card.driverId === null ? null : drivers.get(card.driverId);
      const vehicle = card.vehicleId === null ? null : vehicles.get(card.vehicleId);
      if (driver !== card.driver || vehicle !== card.vehicle) next.set(number, { ...card, driver, vehicle });
    }
  }
  return next;
}
