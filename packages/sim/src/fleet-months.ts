import type { FlagFill, LooseFlow } from '@fillwright/core/flags';
import type { Fleet, Vehicle } from '@fillwright/core/fleet';
import { type Random, randomFrom } from './random.ts';

/**
 * Months of a fleet's fills by habit, without yards: each vehicle has a working day, a way of driving and a tank, and its driver keys
 * readings with the usual slips. Truth for what is usual, and with `plant` for what is not.
 */
export interface FleetMonths {
  readonly seed: string | number;
  readonly fleet: Fleet;
  /** ms UTC, a midnight. */
  readonly from: number;
  readonly days: number;
  /** Share of readings that are keyed with a wrong digit. Common practice, no source. */
  readonly slips?: number;
}

export interface MonthsOfFills {
  readonly fills: FlagFill[];
  readonly loose: LooseFlow[];
}

const DAY = 86_400_000;
const MIN = 60_000;
const GAL = 3_785_412;

export function fleetMonths(o: FleetMonths): MonthsOfFills {
  const fills: FlagFill[] = [];
  for (const vehicle of o.fleet.vehicles.values()) {
    if (!vehicle.active) continue;
    fills.push(...livesOf(vehicle, o, randomFrom(`months/${o.seed}/${vehicle.id}`)));
  }
  return { fills: fills.sort((a, b) => a.from - b.from), loose: [] };
}

function livesOf(vehicle: Vehicle, o: FleetMonths, random: Random): FlagFill[] {
  const { fleet } = o;
  const products = new Set(vehicle.allowances.flatMap((id) => fleet.allowances.get(id)?.products ?? []));
  const may = (kind: string) => [...products].find((p) => fleet.products.get(p)?.kind === kind);
  const main = may('diesel') ?? may('petrol') ?? may('dyed');
  const def = may('def');
  const sites = [...fleet.sites.values()].filter((s) => s.active && (vehicle.sites?.includes(s.id) ?? true));
  const hosesOf = (product: string) =>
    [...fleet.hoses.values()].filter((h) => h.active && h.product === product && sites.some((s) => s.id === h.site));
  if (!main || hosesOf(main).length === 0) return [];
  const drivers = [...fleet.drivers.values()].filter((d) => d.active && d.department === vehicle.department);
  const tank = vehicle.capacity ?? 30 * GAL;
  const perUnit = tank / (vehicle.counter === 'hours' ? random.between(25, 60) : random.between(250, 600));
  const start = random.between(6 * 60, 17 * 60);
  const home = random.pick(hosesOf(main)).site;
  const out: FlagFill[] = [];
  let counter = random.whole(2_000, vehicle.counter === 'hours' ? 9_000 : 90_000);
  let left = tank * random.between(0.4, 1);
  let defLeft = random.between(0.3, 1);
  for (let day = 0; day < o.days; day++) {
    const midnight = o.from + day * DAY;
    const weekday = new Date(midnight).getUTCDay();
    if ((weekday === 0 || weekday === 6) && !random.chance(0.12)) continue;
    const work = vehicle.counter === 'hours' ? random.between(2, 8) : random.between(20, 160);
    const used = Math.min(left * 0.95, work * perUnit * Math.exp(random.normal(0, 0.08)));
    left -= used;
    counter += used / perUnit / Math.exp(random.normal(0, 0.03));
    defLeft -= (used / tank) * 0.12;
    if (left > tank * random.between(0.2, 0.55)) continue;
    const at = midnight + (start + random.normal(0, 50)) * MIN;
    const volume = Math.round((tank - left) * random.between(0.93, 1));
    left += volume;
    const product = main;
    const hose = random.pick(
      hosesOf(product)
        .filter((h) => h.site === home || random.chance(0.15))
        .concat(hosesOf(product).slice(0, 1)),
    );
    const shown = Math.floor(counter);
    const keyed = random.chance(o.slips ?? 0.004)
      ? Number(`${String(shown).slice(0, -1)}${random.whole(0, 9)}`)
      : shown;
    const fill = (p: string, h: string, when: number, ul: number, n: number): FlagFill => ({
      id: `${vehicle.id}-${day}-${n}`,
      site: fleet.hoses.get(h)?.site ?? '',
      hose: h,
      product: p,
      driver: drivers.length > 0 ? random.pick(drivers).id : null,
      vehicle: vehicle.id,
      from: Math.round(when),
      to: Math.round(when + (ul / (10 * GAL)) * MIN),
      volume: ul,
      limit: Math.max(ul + GAL, tank),
      ...(vehicle.counter === 'odometer' ? { odometer: keyed } : {}),
      ...(vehicle.counter === 'hours' ? { hours: keyed } : {}),
    });
    out.push(fill(product, hose.id, at, volume, 0));
    const defHose = def && hosesOf(def).find((h) => h.site === hose.site);
    if (def && defHose && defLeft < 0.25) {
      const gulp = Math.round((1 - defLeft) * tank * 0.2);
      defLeft = 1;
      out.push(fill(def, defHose.id, at + 12 * MIN, gulp, 1));
    }
  }
  return out;
}
