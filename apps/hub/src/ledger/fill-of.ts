import type { Fleet } from '@fillwright/core/fleet';
import { priceInForce } from '@fillwright/core/fleet';
import type { EntryOf } from '@fillwright/core/island';
import { amountOf, formatDate, localMoment, volumeOfPulses } from '@fillwright/core/units';
import { zoneOrUtc } from './zones.ts';

/** The journal entries that make one fill, in any order of arrival. */
export interface FillEntries {
  readonly authorised: EntryOf<'authorised'>;
  readonly checkpoints: readonly EntryOf<'checkpoint'>[];
  readonly ended: EntryOf<'ended'> | undefined;
}

/** A line of the ledger, by column. */
export interface FillLine {
  readonly hose_number: number;
  readonly driver_name: string;
  readonly vehicle_name: string;
  readonly cost_centre: string | null;
  readonly ended_at: number | null;
  readonly pulses: number;
  readonly volume: number;
  readonly overrun: number;
  readonly price: number | null;
  readonly amount: number | null;
  readonly state: 'open' | 'ended' | 'interrupted';
  readonly stop_reason: string | null;
  readonly armed_at: number | null;
  readonly curve: readonly (readonly [number, number])[];
  readonly search: string;
  /** By the site's calendar, on the day of the authorisation. */
  readonly date: string;
}

/**
 * The ledger's line as a function of the fill's entries alone, so that it comes out the same however often and in whatever order they
 * arrive. While a fill is open its last durable count stands. Names are those of the release that it ran under.
 */
export function lineOf(site: string, entries: FillEntries, fleet: Fleet | undefined): FillLine {
  const { authorised: a, ended } = entries;
  const last = entries.checkpoints.reduce((most, c) => (c.pulses > most.pulses ? c : most), { pulses: 0, ul: 0 });
  const driver = a.driver === undefined ? undefined : fleet?.drivers.get(a.driver);
  const vehicle = a.vehicle === undefined ? undefined : fleet?.vehicles.get(a.vehicle);
  const hose = fleet?.hoses.get(a.hose);
  const zone = zoneOrUtc(fleet?.sites.get(site)?.zone);
  const { day } = localMoment(zone, a.at);
  const volume = ended?.ul ?? last.ul;
  const price = a.price ?? (fleet ? priceInForce(fleet, site, a.product, day) : null);
  const costCentre = vehicle?.costCentre ?? driver?.costCentre ?? null;
  const driverName = driver?.name ?? a.driver ?? '';
  const vehicleName = vehicle?.name ?? a.vehicle ?? '';
  const words = [
    fleet?.sites.get(site)?.name ?? site,
    fleet?.products.get(a.product)?.name ?? a.product,
    driverName,
    vehicleName,
    vehicle?.plate,
    costCentre === null ? '' : (fleet?.costCentres.get(costCentre)?.name ?? costCentre),
    ...Object.values(a.answers),
  ];
  return {
    hose_number: hose?.number ?? 0,
    driver_name: driverName,
    vehicle_name: vehicleName,
    cost_centre: costCentre,
    ended_at: ended?.at ?? null,
    pulses: ended?.pulses ?? last.pulses,
    volume,
    overrun: ended?.overUl ?? 0,
    price,
    amount: ended ? (ended.amount ?? (price === null ? null : amountOf(volume, price, a.unit))) : null,
    state: !ended ? 'open' : ended.reason === 'powerLoss' ? 'interrupted' : 'ended',
    stop_reason: ended?.reason ?? null,
    armed_at: ended?.armedAt ?? null,
    curve: (ended?.curve ?? []).map(([ms, pulses]) => [ms / 1000, volumeOfPulses(pulses, a.pulsesPerMeasure, a.unit)]),
    search: words.filter(Boolean).join('\n').toLowerCase(),
    date: formatDate(day),
  };
}

/** How much of a volume each tank of a manifold gave: by the share of its capacity, the last one taking what rounding leaves. */
export function shares(
  volume: number,
  tanks: readonly string[],
  capacity: (tank: string) => number,
): Map<string, number> {
  const whole = tanks.reduce((sum, t) => sum + capacity(t), 0);
  const out = new Map<string, number>();
  let left = volume;
  tanks.forEach((tank, i) => {
    const part =
      i === tanks.length - 1
        ? left
        : whole > 0
          ? Number((BigInt(volume) * BigInt(capacity(tank))) / BigInt(whole))
          : Math.floor(volume / tanks.length);
    out.set(tank, part);
    left -= part;
  });
  return out;
}
