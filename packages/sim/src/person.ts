import type { Credential, Fleet, Vehicle } from '@fillwright/core/fleet';
import type { Random } from './random.ts';

/** Somebody who comes to fill: what they carry, know and want. */
export interface Person {
  readonly terminal: string;
  readonly hose: string;
  /** Numbers in the order in which they would present them. */
  readonly cards: readonly { readonly of: 'driver' | 'vehicle'; readonly number: string }[];
  readonly driver: string;
  readonly vehicle: Vehicle | undefined;
  readonly wantedUl: number;
  /** Keys a wrong PIN first. */
  readonly mistaken: boolean;
}

/** Somebody from the roster who might come to this site; now and then with a card that is not theirs to use. */
export function somebody(fleet: Fleet, site: string, random: Random): Person | undefined {
  const hoses = [...fleet.hoses.values()].filter((h) => h.site === site && h.active && h.terminals.length > 0);
  const drivers = [...fleet.drivers.values()].filter((d) => d.sites === null || d.sites.includes(site));
  if (hoses.length === 0 || drivers.length === 0) return undefined;
  const hose = random.pick(hoses);
  const kind = fleet.products.get(hose.product)?.kind;
  const driver = random.pick(drivers);
  const fits = [...fleet.vehicles.values()].filter((v) =>
    v.allowances.some((a) => fleet.allowances.get(a)?.products.includes(hose.product)),
  );
  const vehicle = fits.length > 0 ? random.pick(fits) : undefined;
  const numberOf = (match: (c: Credential) => boolean) => {
    const all = [...fleet.credentials.values()].filter(match);
    const good = all.filter((c) => !c.stopped);
    return random.chance(0.03) ? all.at(-1)?.number : (good[0] ?? all[0])?.number;
  };
  const own = random.chance(0.03) ? String(random.whole(1, 9_999_999)) : numberOf((c) => c.driver === driver.id);
  const its = vehicle && numberOf((c) => c.vehicle === vehicle.id);
  if (own === undefined) return undefined;
  const most = vehicle?.capacity ?? hose.mostPerFill;
  return {
    terminal: random.pick(hose.terminals),
    hose: hose.id,
    cards: [{ of: 'driver', number: own }, ...(its === undefined ? [] : [{ of: 'vehicle' as const, number: its }])],
    driver: driver.id,
    vehicle,
    // Most fill until the tank is nearly full; some want more than they may have.
    wantedUl: Math.floor(most * (kind === 'def' ? random.between(0.02, 0.1) : random.between(0.15, 1.1))),
    mistaken: random.chance(0.04),
  };
}
