import type { Fleet } from '@fillwright/core/fleet';
import type { EntryOf } from '@fillwright/core/island';
import { type TankHistory, tankLife } from '../tank-life.ts';
import type { PastFill } from './visits.ts';

export interface TankPast {
  readonly tank: string;
  readonly site: string;
  readonly openingUl: number;
  readonly readings: readonly (Pick<EntryOf<'reading'>, 'at' | 'when' | 'levelMm' | 'waterMm' | 'tempC' | 'ul'> & {
    readonly fill?: string;
  })[];
  readonly bills: readonly { readonly at: number; readonly ul: number; readonly tempC: number }[];
  /** What it holds at the end, and the fuel's temperature. */
  readonly closing: { readonly ul: number; readonly tempC: number };
}

interface Wish {
  readonly seed: string | number;
  readonly fleet: Fleet;
  readonly leaks?: Readonly<Record<string, number>>;
}

/** As the simulated yard has its tanks (`yard.ts`), so that a level goes on where the history ends. */
const DIAMETER_MM = 2_400;
const UL = 1_000_000;

/** Each tank by plain physics under the fills that were drawn from it: levels, deliveries, and what is left. */
export function tanksOfPast(o: Wish, fills: readonly PastFill[], from: number, to: number): TankPast[] {
  const tanks: TankPast[] = [];
  for (const tank of o.fleet.tanks.values()) {
    const radius = DIAMETER_MM / 2;
    const drawn = fills.filter((f) => f.tanks.includes(tank.id));
    const life = tankLife({
      seed: `${o.seed}/${tank.id}`,
      from,
      to,
      days: 0,
      diameterMm: DIAMETER_MM,
      // 1 mm3 is 1 uL.
      lengthMm: tank.capacity / (Math.PI * radius * radius),
      gaugeMm: 0.4,
      leakLitresPerHour: o.leaks?.[tank.id] ?? 0,
      // Tanks on one line give alike here; the office splits by capacity, which is the same where they are alike.
      draws: drawn.map((f) => ({
        id: f.id,
        hose: f.hose,
        from: f.authorised.at,
        to: f.ended.at,
        litres: f.ended.ul / UL / f.tanks.length,
      })),
    });
    tanks.push(pastOfTank(tank.id, tank.site, life));
  }
  return tanks;
}

function pastOfTank(tank: string, site: string, life: TankHistory): TankPast {
  return {
    tank,
    site,
    openingUl: Math.round(life.openingLitres * UL),
    readings: life.readings.map((r) => ({
      ...{ at: Math.round(r.at), when: r.moment, levelMm: r.levelMm, waterMm: 0, ul: Math.round(r.litres * UL) },
      ...(r.tempC === null ? {} : { tempC: r.tempC }),
      ...(r.fill === undefined ? {} : { fill: r.fill }),
    })),
    bills: life.billed.map((b) => ({ at: Math.round(b.at), ul: Math.round(b.litres * UL), tempC: b.tempC ?? 15 })),
    closing: { ul: Math.round(life.closing.litres * UL), tempC: life.closing.tempC },
  };
}
