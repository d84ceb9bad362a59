import { nameOf } from '../decide/index.ts';
import type { Presented } from './access.ts';
import { type Days, intersect, pairsOf, union } from './days.ts';
import type { PartyClass } from './party-class.ts';
import type { Table } from './table.ts';

/** Somebody at the terminal: who stands there and on which days; or why nobody does. */
export type Standing =
  | { readonly stands: true; readonly who: Presented; readonly days: Days }
  | { readonly stands: false; readonly why: string };

/** Whether this driver and this vehicle (null: nobody) can be presented by credentials of the roster within the table's days. */
export function standingOf(table: Table, driver: string | null, vehicle: string | null): Standing {
  for (const [kind, id] of [
    ['drivers', driver],
    ['vehicles', vehicle],
  ] as const) {
    if (id === null || partyOf(table, kind, id)) continue;
    return { stands: false, why: whyNot(table, kind, id) };
  }
  const who = {
    driver: driver === null ? null : (table.driverOf.get(driver) ?? null),
    vehicle: vehicle === null ? null : (table.vehicleOf.get(vehicle) ?? null),
  };
  const days = daysOf(table, who, driver, vehicle);
  if (days.length > 0) return { stands: true, who, days };
  return { stands: false, why: whyNever(table, driver, vehicle) };
}

const partyOf = (table: Table, kind: 'drivers' | 'vehicles', id: string): PartyClass | undefined =>
  (kind === 'drivers' ? table.driverOf : table.vehicleOf).get(id);

/** Days on which they stand there: with cards of their own, or with one that names both. */
export function daysOf(table: Table, who: Presented, driver: string | null, vehicle: string | null): Days {
  if (!who.driver || !who.vehicle) return who.driver?.days ?? who.vehicle?.days ?? [];
  const spans = spansOf(intersect(who.driver.days, who.vehicle.days));
  for (const c of table.couples) if (c.driverId === driver && c.vehicleId === vehicle) spans.push(...spansOf(c.days));
  return union(spans);
}

export const spansOf = (days: Days): [number, number][] => [...pairsOf(days)];

function whyNot(table: Table, kind: 'drivers' | 'vehicles', id: string): string {
  const { fleet, drivers, vehicles } = table.policy;
  const holder = (kind === 'drivers' ? drivers : vehicles).get(id);
  const name = nameOf(fleet, kind, id);
  if (!holder) return `“${id}” is not in the roster.`;
  if (!holder.active) return `${name} is not active, so no site lets them draw.`;
  return `No credential of ${name} is good: none is in the roster, or it is stopped or shares its number with another.`;
}

function whyNever(table: Table, driver: string | null, vehicle: string | null): string {
  const { fleet } = table.policy;
  const called = (kind: 'drivers' | 'vehicles', id: string | null) => nameOf(fleet, kind, id as string);
  if (driver !== null && vehicle !== null)
    return `No credentials present ${called('drivers', driver)} and ${called('vehicles', vehicle)} together on any day of the coming year.`;
  const name = driver === null ? called('vehicles', vehicle) : called('drivers', driver);
  const others = table.couples
    .filter((c) => c.days.length > 0)
    .flatMap((c) => {
      if (c.driverId === driver) return called('vehicles', c.vehicleId);
      return c.vehicleId === vehicle ? called('drivers', c.driverId) : [];
    });
  if (others.length > 0)
    return `${name} has only a credential that names another with them: choose ${others.slice(0, 3).join(' or ')} too.`;
  return `On no day of the coming year are ${name} and a credential of theirs both within their dates.`;
}
