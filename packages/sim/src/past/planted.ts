import type { Entry } from '@fillwright/core/island';
import { localMoment } from '@fillwright/core/units';
import { gallons } from '../harrowmere/yards.ts';
import type { PastFill, VisitOptions, Wish } from './visits.ts';

const DAY = 86_400_000;
const MIN = 60_000;
/** 04:41. */
const EARLY = 281;

/**
 * A few things that a person should look at, in the last ten days: more than a tank holds in two fills, an odometer a digit short, a fill in the dead of night,
 * and one that was split under its limit. Each on another vehicle; where the fleet has no vehicle for it, it is left out. On the last two days
 * somebody comes before the hours of the allowance, and a few key a wrong PIN first.
 */
export function planted(wishes: readonly Wish[], o: VisitOptions): Wish[] {
  const recent = wishes.filter((w) => w.from > o.to - 10 * DAY && w.from < o.to - DAY);
  const used = new Set<string>();
  const pick = (fits: (w: Wish) => boolean): Wish | undefined => {
    const found = recent.find((w) => !used.has(String(w.vehicle)) && fits(w));
    if (found) used.add(String(found.vehicle));
    return found;
  };
  const vehicleOf = (w: Wish) => o.fleet.vehicles.get(String(w.vehicle));
  const holds = (w: Wish) => vehicleOf(w)?.capacity ?? 0;
  const known = (w: Wish) => o.fleet.sites.get(w.site)?.identify === 'both';
  const kindOf = (w: Wish) => o.fleet.products.get(o.fleet.hoses.get(w.hose)?.product ?? '')?.kind;
  const often = (w: Wish) => wishes.filter((x) => x.vehicle === w.vehicle).length;

  const anyHour = (w: Wish) =>
    [...(o.fleet.drivers.get(String(w.driver))?.allowances ?? []), ...(vehicleOf(w)?.allowances ?? [])].every(
      (id) => (o.fleet.allowances.get(id)?.times?.length ?? 0) === 0,
    );

  const large = pick((w) => known(w) && kindOf(w) === 'diesel' && holds(w) > 0 && holds(w) < gallons(78));
  const short = pick((w) => known(w) && kindOf(w) !== 'def' && (w.odometer ?? 0) > 20_000);
  const night = pick((w) => known(w) && kindOf(w) !== 'def' && often(w) > 14 && anyHour(w));
  const split = pick((w) => known(w) && kindOf(w) === 'petrol' && holds(w) >= gallons(18) && holds(w) < gallons(19));
  const lastDays = wishes.filter((w) => w.from > o.to - 2 * DAY && w.from < o.to - 60 * MIN && known(w));
  const early = lastDays.findLast((w) => !anyHour(w) && atMinute(w, o, EARLY) < o.to - 60 * MIN);
  // Some of them are turned away for another reason that they know already.
  const slips = new Set(lastDays.filter((w) => w !== early).slice(-3));
  return wishes.flatMap((w): Wish[] => {
    if (w === early) return [{ ...w, id: `${w.id}-early`, from: atMinute(w, o, EARLY) }, w];
    if (slips.has(w)) return [{ ...w, id: `${w.id}-slip`, from: w.from - MIN, pin: 'wrong' }, w];
    if (w === large) return [w, { ...w, id: `${w.id}-more`, from: w.from + 25 * MIN, volume: gallons(31) }];
    if (w === short) return [{ ...w, odometer: Math.floor((w.odometer ?? 0) / 10) }];
    if (w === night) return [{ ...w, from: atMinute(w, o, 150) }];
    if (w === split)
      return [
        { ...w, volume: gallons(18) },
        { ...w, id: `${w.id}-again`, from: w.from + 18 * MIN, volume: gallons(9) },
      ];
    return [w];
  });
}

/** The same local day at another minute of it. */
function atMinute(w: Wish, o: VisitOptions, minute: number): number {
  const zone = o.zones(o.fleet.sites.get(w.site)?.zone ?? 'UTC');
  return w.from + (minute - localMoment(zone, w.from).minute) * MIN;
}

/** Of the first site alone: a valve that let through a little after a fill, six days before the end; somebody looked and let it serve again. */
export function plantAlarm(site: string, fills: readonly PastFill[], fleet: VisitOptions['fleet']): Entry[] {
  const last = fills.at(-1);
  if (site !== [...fleet.sites.keys()][0] || !last) return [];
  const fill = fills.findLast((f) => f.ended.at < last.ended.at - 6 * DAY);
  if (!fill) return [];
  const at = fill.ended.at + 9_000;
  return [
    { kind: 'alarm', at, alarm: 'pulsesAfterClose', hose: fill.hose, pulses: 42 },
    { kind: 'resumed', at: at + 35 * MIN, hose: fill.hose, block: 'stray', by: 'technician at the terminal' },
  ];
}
