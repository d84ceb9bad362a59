import { type Holder, type PolicySite, unanswerable } from '../decide/index.ts';
import { type Days, intersect, union } from './days.ts';
import type { Steps } from './steps.ts';
import type { HoseClass, PartyClass, Table } from './table.ts';

/** Who presents themselves: a driver, a vehicle, or both; null is nobody. */
export interface Presented {
  readonly driver: PartyClass | null;
  readonly vehicle: PartyClass | null;
}

/** SPEC D10, without regard to who holds what. */
export function identifies(site: PolicySite, driver: boolean, vehicle: boolean): boolean {
  const need = site.row.identify;
  if (need === 'driver') return driver;
  if (need === 'vehicle') return vehicle;
  if (need === 'both') return driver && vehicle;
  return driver || vehicle;
}

/**
 * What they may draw at a hose over the week, on days that their dates and the site's allow: null is never. Rooms below LEAST_USEFUL count
 * as nothing; whoever reads them must say so.
 */
export function accessOf(table: Table, who: Presented, hose: HoseClass): Steps | null {
  const { book, policy } = table;
  const site = policy.sites.get(hose.siteId) as PolicySite;
  const { driver, vehicle } = who;
  if (!identifies(site, driver !== null, vehicle !== null)) return null;
  if (driver?.sites && driver.sites[hose.site] !== 1) return null;
  if (vehicle?.sites && vehicle.sites[hose.site] !== 1) return null;
  if (driver?.mute || vehicle?.mute || site.questions.some(unanswerable)) return null;
  const first = driver?.list.at(hose.site, hose.product) ?? null;
  const second = vehicle?.list.at(hose.site, hose.product) ?? null;
  if (first === null && second === null) return null;
  let steps = first ?? (second as Steps);
  if (first !== null && second !== null) steps = book.least(first, second);
  steps = book.least(steps, hose.most);
  if (vehicle !== null && vehicle.capacity !== null) {
    steps = book.least(steps, book.level(vehicle.capacity, table.tank));
  }
  return steps;
}

/**
 * Who stands there when these credentials are presented, and on which days: null where they identify nobody, contradict each other or
 * are stopped. A card that names a driver and a vehicle presents both.
 */
export function presentedBy(table: Table, numbers: readonly string[]): (Presented & { readonly days: Days }) | null {
  const { policy, horizon } = table;
  let driver: Holder | null = null;
  let vehicle: Holder | null = null;
  let days = horizon;
  for (const number of numbers) {
    const card = policy.cards.get(number);
    if (!card || card.stopped || policy.stopped.has(number)) return null;
    if (card.driver === undefined || card.vehicle === undefined || (card.driver === null && card.vehicle === null))
      return null;
    if ((card.driver && driver && card.driver !== driver) || (card.vehicle && vehicle && card.vehicle !== vehicle))
      return null;
    driver ??= card.driver;
    vehicle ??= card.vehicle;
    days = intersect(days, union([[card.from, card.until]]));
  }
  for (const holder of [driver, vehicle]) if (holder) days = intersect(days, union([[holder.from, holder.until]]));
  const d = driver ? table.driverOf.get(driver.id) : null;
  const v = vehicle ? table.vehicleOf.get(vehicle.id) : null;
  return d === undefined || v === undefined ? null : { driver: d, vehicle: v, days };
}
