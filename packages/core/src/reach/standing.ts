import { nameOf } from '../decide/index.ts';
import type { Presented } from './access.ts';
import { type Days, intersect, union } from './days.ts';
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
  const days = intersect(who.driver.days, who.vehicle.days);
  const spans: [number, number][] = spansOf(days);
  for (const c of table.couples) if (c.driverId === driver && c.vehicleId === vehicle) spans.push(...spansOf(c.days));
  return spans.length === 0 ? days : union(spans);
}

export function spansOf(days: Days): [number, number][] {
  const spans: [number, number][] = [];
  for (let i = 0; i < days.length; i += 2) spans.push([days[i] as number, days[i + 1] as number]);
  return spans;
}

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
  const names = [
    driver === null ? [] : nameOf(fleet, 'drivers', driver),
    vehicle === null ? [] : nameOf(fleet, 'vehicles', vehicle),
  ].flat();
  if (driver !== null && vehicle !== null)
    return `No credentials present ${names.join(' and ')} together on any day of the coming year.`;
  const others = table.couples.flatMap((c) =>
    c.days.length === 0
      ? []
      : c.driverId === driver
        ? nameOf(fleet, 'vehicles', c.vehicleId)
        : c.vehicleId === vehicle
          ? nameOf(fleet, 'drivers', c.driverId)
          : [],
  );
  if (others.length > 0)
    return `${names[0]} has only a credential that names another with them: choose ${others.slice(0, 3).join(' or ')} too.`;
  return `On no day of the coming year are ${names[0]} and a credential of theirs both within their dates.`;
}
