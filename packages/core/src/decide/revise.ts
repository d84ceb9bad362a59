import { changedKeys, type Fleet, Patched, type Site } from '../fleet/index.ts';
import {
  cardMade,
  type Holder,
  holderMade,
  hoseMade,
  type Makers,
  type Policy,
  type PolicyCard,
  type PolicyHose,
  siteMade,
  type Terms,
  termsMade,
} from './policy.ts';
import type { Zones } from './types.ts';
import { WhenAsked } from './when-asked.ts';

/**
 * The policy of a fleet that grew out of another by edits: rows that are the same objects keep their parts, so that an edit costs what it
 * touches and a quick look over the rest. Equal to compiling the fleet anew. Null where sites came or went, a question changed, or a product has its
 * first hose: then everything must be compiled.
 */
export function revise(policy: Policy, fleet: Fleet, zones: Zones): Policy | null {
  const was = policy.fleet;
  const sitesChanged = changedKeys(was.sites, fleet.sites);
  if (sitesChanged.some((id) => !was.sites.has(id) || !fleet.sites.has(id))) return null;
  if (changedKeys(was.questions, fleet.questions).length > 0) return null;
  const hosesChanged = changedKeys(was.hoses, fleet.hoses);
  const { productAt } = policy.makers;
  for (const id of hosesChanged) {
    const hose = fleet.hoses.get(id);
    if (hose && !productAt.has(hose.product)) return null;
  }

  const allowances = changedKeys(was.allowances, fleet.allowances);
  // Everybody is made, so that the makers know every list.
  if (allowances.length > 0) for (const holders of [policy.drivers, policy.vehicles]) madeWhole(holders);
  const makers = allowances.length === 0 ? policy.makers : makersWith(policy.makers, fleet, allowances);
  const kept = makers === policy.makers ? null : new Set(makers.lists.values());
  const drivers = holdersWith(policy.drivers, was.drivers, fleet.drivers, 'drivers', makers, kept);
  const vehicles = holdersWith(policy.vehicles, was.vehicles, fleet.vehicles, 'vehicles', makers, kept);
  let { sites, hoses } = policy;
  if (sitesChanged.length > 0) {
    const next = new Map(sites);
    for (const id of sitesChanged) next.set(id, siteMade(makers, fleet.sites.get(id) as Site, zones));
    sites = next;
  }
  if (sitesChanged.length > 0 || hosesChanged.length > 0) {
    const touched = new Set(sitesChanged);
    const again = new Set(hosesChanged);
    const next = new Map<string, PolicyHose>();
    for (const row of fleet.hoses.values()) {
      const keeps = !again.has(row.id) && !touched.has(row.site);
      next.set(row.id, keeps ? (hoses.get(row.id) as PolicyHose) : hoseMade(makers, row, sites));
    }
    hoses = next;
  }
  const cards = cardsWith(policy, fleet, drivers, vehicles);
  return { fleet, sites, hoses, cards, drivers, vehicles, stopped: policy.stopped, makers };
}

/** What was patched was made when it was; of the rest it is cheap to ask whether all is. */
function madeWhole(holders: ReadonlyMap<string, Holder>): void {
  const whole = holders instanceof Patched ? holders.whole : holders;
  if (whole instanceof WhenAsked) whole.all();
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
    if (!key.split(' ').some((id) => again.has(id))) lists.set(key, list);
  }
  return { ...makers, allowances, lists };
}

/** Holders whose row changed, and those whose list of allowances did. */
function holdersWith<R extends Parameters<typeof holderMade>[2]>(
  holders: ReadonlyMap<string, Holder>,
  was: ReadonlyMap<string, R>,
  is: ReadonlyMap<string, R>,
  table: Holder['table'],
  makers: Makers,
  kept: ReadonlySet<readonly Terms[]> | null,
): ReadonlyMap<string, Holder> {
  const ids = changedKeys(was, is);
  if (kept !== null) {
    holders.forEach(({ terms, id }) => {
      if (!kept.has(terms)) ids.push(id);
    });
  }
  const edits = new Map<string, Holder | undefined>();
  for (const id of ids) {
    const row = is.get(id);
    edits.set(id, row && holderMade(makers, table, row));
  }
  return Patched.of(holders, edits);
}

/** Cards whose row changed, or another with their number, and those of holders who did. */
function cardsWith(
  policy: Policy,
  fleet: Fleet,
  drivers: ReadonlyMap<string, Holder>,
  vehicles: ReadonlyMap<string, Holder>,
): Policy['cards'] {
  const was = policy.fleet.credentials;
  const edits = new Map<string, PolicyCard | null | undefined>();
  for (const id of changedKeys(was, fleet.credentials))
    for (const row of [was.get(id), fleet.credentials.get(id)]) if (row) edits.set(row.number, undefined);
  if (edits.size > 0) {
    fleet.credentials.forEach((row) => {
      const { number } = row;
      if (edits.has(number))
        edits.set(number, edits.get(number) === undefined ? cardMade(row, drivers, vehicles) : null);
    });
  }
  const moved = {
    drivers: new Set<string | null>(changedKeys(policy.drivers, drivers)),
    vehicles: new Set<string | null>(changedKeys(policy.vehicles, vehicles)),
  };
  if (moved.drivers.size + moved.vehicles.size > 0) {
    policy.cards.forEach((card, number) => {
      if (card === null || edits.has(number)) return;
      const { driverId, vehicleId } = card;
      if (!moved.drivers.has(driverId) && !moved.vehicles.has(vehicleId)) return;
      const driver = driverId === null ? null : drivers.get(driverId);
      const vehicle = vehicleId === null ? null : vehicles.get(vehicleId);
      edits.set(number, { ...card, driver, vehicle });
    });
  }
  return Patched.of(policy.cards, edits);
}
