import type { PolicyHose, PolicySite } from '../../decide/index.ts';
import type { Couple } from '../table.ts';
import type { Cell } from './cells.ts';
import type { Checking } from './checking.ts';
import { holds, NONE } from './minutes.ts';
import type { Place } from './places.ts';
import type { Pool } from './pools.ts';
import { isNone, type Region } from './region.ts';
import { type Crossing, has, type Pick, type Sentence } from './sentence.ts';
import type { Verdict } from './verdict.ts';
import { firstMinute, shown } from './witness.ts';

type Never = Extract<Sentence, { asks: 'never' }>;

/** SPEC E5, E6: whether at no point of the crossings so much may be drawn. */
export function never(checking: Checking, sentence: Never, wanted: Region): Verdict {
  const { pools, blocks, table, places } = checking;
  const lets = sentence.crossings.map(() => new Map<Cell, Region>());
  for (const place of places.of(sentence.hoses, sentence.least)) {
    const here = blocks.and(wanted, place.open);
    if (isNone(here)) continue;
    for (const [n, crossing] of sentence.crossings.entries()) {
      if (!meets(place, crossing)) continue;
      const known = lets[n] as Map<Cell, Region>;
      const region = known.get(place.cell) ?? crossed(checking, crossing, place, sentence.least);
      known.set(place.cell, region);
      const found = pointIn(checking, sentence, place, crossing, blocks.and(region, here));
      if (found) return found;
    }
    for (const couple of table.couples) {
      if (!sentence.crossings.some((c) => ofBoth(c, couple))) continue;
      const region = pools.couple(couple, place.cell, sentence.least);
      if (!region) continue;
      const found = pointOf(checking, sentence, place, blocks.and(region, here), () => ({
        driver: couple.driverId,
        vehicle: couple.vehicleId,
      }));
      if (found) return found;
    }
  }
  return { verdict: 'holds' };
}

const meets = (place: Place, { drivers, vehicles }: Crossing): boolean =>
  drivers === null ? place.vehicle : vehicles === null ? place.driver : true;

const ofBoth = ({ drivers, vehicles }: Crossing, couple: Couple): boolean =>
  drivers !== null && vehicles !== null && has(drivers, couple.driverId) && has(vehicles, couple.vehicleId);

/** Where a pair of the crossing lets so much through, each with credentials of their own. */
function crossed({ pools, blocks }: Checking, { drivers, vehicles }: Crossing, place: Place, least: number): Region {
  const pool = (kind: 'drivers' | 'vehicles', pick: Pick): Pool => pools.pool(kind, pick, place.cell, least);
  if (drivers === null || vehicles === null)
    return drivers ? pool('drivers', drivers).party : vehicles ? pool('vehicles', vehicles).party : blocks.none;
  const [d, v] = [pool('drivers', drivers), pool('vehicles', vehicles)];
  return blocks.or(blocks.and(d.party, blocks.or(v.party, v.silent)), blocks.and(d.silent, v.party));
}

interface Who {
  readonly driver: string | null;
  readonly vehicle: string | null;
}

function pointIn(checking: Checking, sentence: Never, place: Place, crossing: Crossing, region: Region) {
  const { pools, blocks } = checking;
  return pointOf(checking, sentence, place, region, (block, minute) => {
    /** The first who has an allowance of their own, else the first: where one who brings none is let in, the other brings one. */
    const first = (kind: 'drivers' | 'vehicles', pick: Pick | null): string | null => {
      let silentOne: string | null = null;
      for (const { party, id } of pick ? pools.ones(kind, pick) : []) {
        const { minutes, silent } = pools.lets(party, place.cell, sentence.least);
        if (blocks.on(party.days)[block] === NONE || !holds(blocks.minutes.of(minutes), minute)) continue;
        if (!silent) return id;
        silentOne ??= id;
      }
      return silentOne;
    };
    return { driver: first('drivers', crossing.drivers), vehicle: first('vehicles', crossing.vehicles) };
  });
}

/** The first point of a region that the clock of one of the place's hoses shows, with whoever stands there. */
function pointOf(
  checking: Checking,
  sentence: Never,
  place: Place,
  region: Region,
  whoAt: (block: number, minuteOfWeek: number) => Who,
): Verdict | null {
  const { blocks, table } = checking;
  if (isNone(region)) return null;
  const hose = place.hose.members.find((m) => sentence.hoses.some((h) => h.row.id === m.row.id)) as PolicyHose;
  const { zone } = hose.site as PolicySite;
  for (const [block, minutes] of region.entries()) {
    for (const span of blocks.days(block, blocks.minutes.of(minutes))) {
      const moment = firstMinute(zone, span);
      if (!moment) continue;
      const who = whoAt(block, moment.minuteOfWeek);
      return { verdict: 'broken', counterexample: shown(table.policy, who, hose, moment), failing: null };
    }
  }
  return null;
}
