import type { Fleet } from '@fillwright/core/fleet';
import type { Search } from '../../data/where.ts';
import { hosesAt } from '../../field/choice.tsx';
import { instantsOf, UTC, wallOf, zoneKnown } from '../../show/site-time.ts';

export const PINS = [
  ['right', 'right'],
  ['wrong', 'wrong'],
  ['locked', 'locked after wrong tries'],
  ['notSet', 'not set at the site'],
] as const;

/** Who stands where, and when, as the help desk asks of it. */
export interface Asked {
  readonly site: string;
  readonly hose: string;
  /** By the clock on the site's wall, and the first instant at which it shows that; undefined where it never does. */
  readonly date: string;
  readonly time: string;
  readonly at: number | undefined;
  /** A card says whose it is: then nobody is named beside it. */
  readonly card: string | undefined;
  readonly driver: string | undefined;
  readonly vehicle: string | undefined;
  readonly pin: (typeof PINS)[number][0];
  readonly cutOff: boolean;
  /** Whether enough is given to decide it. */
  readonly ready: boolean;
}

/** What the address asks; where it is silent, the first site and hose and the moment `now` (ms). */
export function askedOf(where: Search, fleet: Fleet, now: number): Asked {
  const site = fleet.sites.has(where.site ?? '') ? (where.site ?? '') : ([...fleet.sites.keys()][0] ?? '');
  const hoses = hosesAt(fleet, site);
  const hose = hoses.find((h) => h.id === where.hose)?.id ?? hoses[0]?.id ?? '';
  const zone = fleet.sites.get(site)?.zone ?? 'UTC';
  const wall = wallOf(now, zone);
  const [date, time] = [where.date ?? wall.date, where.time ?? wall.time];
  const at = instantsOf(date, time, zoneKnown(zone) ?? UTC)?.[0];
  const { card } = where;
  const [driver, vehicle] = card ? [undefined, undefined] : [where.driver, where.vehicle];
  const pin = PINS.find(([state]) => state === where.pin)?.[0] ?? 'right';
  const ready = hose !== '' && at !== undefined && Boolean(card || driver || vehicle);
  return { site, hose, date, time, at, card, driver, vehicle, pin, cutOff: where.cutOff === 'yes', ready };
}
