import type { Fleet } from '@fillwright/core/fleet';
import type { Days, Place } from '@fillwright/core/reach';
import { localMoment, parseDate, type ZoneTable } from '@fillwright/core/units';
import { nameOf } from '../../data/name-of.ts';
import { namesAndMore } from '../../reach/words.ts';

export const KINDS = ['closed', 'price', 'clock', 'begins', 'ends'] as const;

/** A day on which something about a site's reach changes. */
export interface Dated {
  readonly day: number;
  readonly kind: (typeof KINDS)[number];
  readonly words: string;
}

/**
 * The days of `horizon` (first and last, both included) that matter to these people at this site, ascending: closed days, new prices of
 * what it sells, changes of its clocks, and the first and last days of people, vehicles and credentials. A day of 'ends' is the last that counts.
 */
export function datesOf(fleet: Fleet, place: Place, horizon: Days, zone: ZoneTable): Dated[] {
  const [first, last] = [horizon[0] ?? 0, horizon.at(-1) ?? -1];
  const found: Dated[] = [];
  const put = (date: string | number | null, kind: Dated['kind'], words: string) => {
    const day = typeof date === 'string' ? parseDate(date) : (date ?? undefined);
    if (day !== undefined && day >= first && day <= last) found.push({ day, kind, words });
  };
  const site = fleet.sites.get(place.site);
  for (const date of site?.closed ?? []) put(date, 'closed', 'the site is closed');
  const sold = new Set([...fleet.hoses.values()].filter((h) => h.site === place.site).map((h) => h.product));
  for (const p of fleet.prices.values())
    if (sold.has(p.product) && (p.site === null || p.site === place.site))
      put(p.from, 'price', `a new price of ${nameOf(fleet, 'products', p.product)}`);
  for (let i = 1; i < zone.at.length; i++) {
    const by = (zone.offsetMin[i] as number) - (zone.offsetMin[i - 1] as number);
    if (by !== 0)
      put(
        localMoment(zone, zone.at[i] as number).day,
        'clock',
        `the clocks go ${by > 0 ? 'forward' : 'back'} by ${Math.abs(by)} min`,
      );
  }
  found.push(...lives(fleet, place, first, last));
  return found.sort((a, b) => a.day - b.day || KINDS.indexOf(a.kind) - KINDS.indexOf(b.kind));
}

/** First and last days of those concerned, each day once, names before counts. */
function lives(fleet: Fleet, place: Place, first: number, last: number): Dated[] {
  const { driver, vehicle, department } = place;
  const of = (id: string, chosen: string | null, row: { department: string } | undefined) =>
    department !== null ? row?.department === department : driver === null && vehicle === null ? true : id === chosen;
  const isDriver = (id: string | null) => id !== null && of(id, driver, fleet.drivers.get(id));
  const isVehicle = (id: string | null) => id !== null && of(id, vehicle, fleet.vehicles.get(id));
  const days = new Map<string, { day: number; kind: 'begins' | 'ends'; names: string[]; count: number }>();
  const put = (date: string | null, kind: 'begins' | 'ends', name: () => string) => {
    const day = date === null ? undefined : parseDate(date);
    if (day === undefined || day < first || day > last) return;
    const key = `${kind} ${day}`;
    const had = days.get(key) ?? { day, kind, names: [], count: 0 };
    had.count++;
    if (had.names.length < 3) had.names.push(name());
    days.set(key, had);
  };
  const both = (row: { validFrom: string | null; validUntil: string | null }, name: () => string) => {
    put(row.validFrom, 'begins', name);
    put(row.validUntil, 'ends', name);
  };
  for (const d of fleet.drivers.values()) if (isDriver(d.id)) both(d, () => nameOf(fleet, 'drivers', d.id));
  for (const v of fleet.vehicles.values()) if (isVehicle(v.id)) both(v, () => nameOf(fleet, 'vehicles', v.id));
  for (const c of fleet.credentials.values())
    if (isDriver(c.driver) || isVehicle(c.vehicle)) both(c, () => `${c.kind} ${c.number}`);
  return [...days.values()].map(({ day, kind, names, count }) => ({
    day,
    kind,
    words: `${kind === 'begins' ? 'first day' : 'last day'} of ${namesAndMore(names, count)}`,
  }));
}
