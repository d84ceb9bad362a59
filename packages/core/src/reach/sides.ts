import { type PolicySite, unanswerable } from '../decide/index.ts';
import { identifies } from './access.ts';
import { type Days, NO_DAYS } from './days.ts';
import type { Steps } from './steps.ts';
import type { HoseClass, PartyClass, Table } from './table.ts';

/** What one party brings to one hose in one table. */
export interface Side {
  /** Somebody stands there (in this table). */
  readonly present: boolean;
  /** Nothing that the party holds or lacks keeps it from this hose altogether. */
  readonly may: boolean;
  /** It holds allowances (SPEC D16), so that its steps decide. */
  readonly party: boolean;
  /** What it lets through; null is no limit of its own. */
  readonly steps: Steps | null;
  readonly days: Days;
}

export const NOBODY: Side = { present: false, may: true, party: false, steps: null, days: NO_DAYS };
const ABSENT: Side = { present: true, may: false, party: false, steps: null, days: NO_DAYS };

/** The party's side at a hose; a party that this table does not have is present and may nothing. */
export function sideOf(table: Table, party: PartyClass | null, hose: HoseClass | null): Side {
  if (party === null || hose === null || party.mute) return ABSENT;
  if (party.sites !== null && party.sites[hose.site] !== 1) return ABSENT;
  const own = party.list.at(hose.site, hose.product);
  let steps = own;
  if (party.capacity !== null) {
    const tank = table.book.level(party.capacity, table.book.reason('vehicle-tank', null));
    // The allowance is looked at before the vehicle's tank, so it decides where both are equal.
    steps = own === null ? tank : table.book.least(own, tank);
  }
  return { present: true, may: true, party: own !== null, steps, days: party.days };
}

/** What the hose itself says in one table. */
export interface Place {
  readonly open: boolean;
  readonly most: Steps | null;
  readonly closed: Days;
  identifies(driver: boolean, vehicle: boolean): boolean;
}

export function placeOf(table: Table, hose: HoseClass | null): Place {
  if (hose === null) return { open: false, most: null, closed: NO_DAYS, identifies: () => false };
  const site = table.policy.sites.get(hose.siteId) as PolicySite;
  const open = !site.questions.some(unanswerable);
  return {
    open,
    most: hose.most,
    closed: hose.closed,
    identifies: (driver, vehicle) => identifies(site, driver, vehicle),
  };
}

/** What two sides may draw together at a place; null is never. Days are looked at elsewhere. */
export function together(table: Table, place: Place, driver: Side, vehicle: Side): Steps | null {
  if (!place.open || place.most === null || !driver.may || !vehicle.may) return null;
  if (!driver.party && !vehicle.party) return null;
  if (!place.identifies(driver.present, vehicle.present)) return null;
  let steps: Steps = place.most;
  // SPEC D21: the driver's party is looked at first, then the vehicle's, then the hose, then the vehicle's tank.
  if (vehicle.steps !== null) steps = table.book.least(vehicle.steps, steps);
  if (driver.steps !== null) steps = table.book.least(driver.steps, steps);
  return steps;
}
