import type { Terms } from '../decide/index.ts';
import { Crowd } from './crowd.ts';
import type { DayBook } from './days.ts';
import type { Heard } from './heard.ts';
import type { Parts, WeekParts } from './parts.ts';
import { type Place, placeOf } from './sides.ts';
import type { HoseClass, Table } from './table.ts';

/** What a place is to a comparison, made ready for being asked often. */
export interface Ground {
  readonly open: boolean;
  /** Whether somebody is known, by driver * 2 + vehicle (1 where present). */
  readonly identifies: readonly boolean[];
  /** Closed days by number in the book. */
  readonly closed: number;
}

/** Hoses that everybody meets alike, before and after, with everybody who comes to them. */
export interface Spot {
  /** Ids of hoses. */
  hoses: string[];
  /** What the first of them is in either table. */
  before: HoseClass | null;
  after: HoseClass | null;
  readonly product: string;
  readonly ground: readonly [Ground, Ground];
  /** The hoses themselves changed, so that nobody is as before. */
  readonly moved: boolean;
  /** Spots of one word are met by everybody in the same ways; who must identify themselves and closed days may still differ. */
  readonly met: string;
  readonly windows: Set<number>;
  parts: Parts;
  drivers: Crowd;
  vehicles: Crowd;
  /** Groups, by number in the tally, to whose points it ever added or from whose it took; all others have no part in it. */
  readonly slots: Set<number>;
  /** What groups were found to touch here, by number; null is nothing. Never of other cells than are here now. */
  readonly heard: Map<number, Heard | null>;
}

/** What tells hoses apart beside themselves: allowances, and lists of sites to which holders are held. */
export interface Tells {
  readonly terms: Set<Terms>;
  readonly marks: Set<Uint8Array>;
}

export const covers = (terms: Terms, hose: HoseClass | null): boolean =>
  hose !== null && terms.products[hose.product] === 1 && (terms.sites === null || terms.sites[hose.site] === 1);

/** Hoses that no rule and no date can tell apart in either table, together. Nobody has come to them yet. */
export function spotsOf(
  hoses: ReadonlyMap<string, readonly [HoseClass | null, HoseClass | null]>,
  tables: readonly [Table, Table],
  tells: readonly [Tells, Tells],
  weeks: WeekParts,
): Spot[] {
  const spots = new Map<string, Spot>();
  // Hoses of one class in both tables need not be looked at twice.
  const known = new Map<HoseClass | null, Map<HoseClass | null, Spot>>();
  for (const [id, both] of hoses) {
    let byAfter = known.get(both[0]);
    if (!byAfter) {
      byAfter = new Map();
      known.set(both[0], byAfter);
    }
    let spot = byAfter.get(both[1]);
    if (!spot) {
      const places = [placeOf(tables[0], both[0]), placeOf(tables[1], both[1])] as const;
      const product = (both[1] ?? both[0])?.members[0]?.row.product ?? '';
      const told = `${toldBy(tells[0], both[0])};${toldBy(tells[1], both[1])}`;
      const key = `${product};${places[0].key};${places[1].key};${told}`;
      spot = spots.get(key);
      if (!spot) {
        spot = emptySpot(both, places, product, `${product};${told};${places[0].most?.id};${places[1].most?.id}`);
        spots.set(key, spot);
      }
      byAfter.set(both[1], spot);
    }
    spot.hoses.push(id);
  }
  return [...spots.values()];

  function emptySpot(
    both: readonly [HoseClass | null, HoseClass | null],
    places: readonly [Place, Place],
    product: string,
    met: string,
  ): Spot {
    const windows = new Set<number>();
    for (const n of [0, 1] as const)
      for (const t of tells[n].terms) if (covers(t, both[n])) windows.add(weeks.windowOf(t));
    const parts = weeks.of(windows);
    const { days } = tables[0].book;
    return {
      hoses: [],
      before: both[0],
      after: both[1],
      product,
      ground: [groundOf(places[0], days), groundOf(places[1], days)],
      moved: places[0].key !== places[1].key,
      met,
      windows,
      parts,
      drivers: new Crowd(parts.count),
      vehicles: new Crowd(parts.count),
      slots: new Set(),
      heard: new Map(),
    };
  }
}

/** Spots at which two who come together meet the same: both are known, whoever must be. Those who come alone may be known at one and not at another. */
export function sameTogether(spots: readonly Spot[]): Spot[][] {
  const of = (g: Ground) => `${g.open} ${g.closed}`;
  return grouped(spots, (s) => `${s.met};${s.moved};${of(s.ground[0])};${of(s.ground[1])}`);
}

export const sameMet = (spots: readonly Spot[]): Spot[][] => grouped(spots, (s) => s.met);

function grouped(spots: readonly Spot[], word: (spot: Spot) => string): Spot[][] {
  const groups = new Map<string, Spot[]>();
  for (const spot of spots) {
    const key = word(spot);
    const group = groups.get(key);
    if (group) group.push(spot);
    else groups.set(key, [spot]);
  }
  return [...groups.values()];
}

/** The same for others that are met alike, with copies of what changes. */
export const copyOf = (spot: Spot): Spot => ({
  ...spot,
  windows: new Set(spot.windows),
  drivers: spot.drivers.copy(),
  vehicles: spot.vehicles.copy(),
  slots: new Set(spot.slots),
  // Each finds its own: what was found goes with a crowd.
  heard: new Map(),
});

/** Which of them cover the hose, a bit each, sixteen a character. */
function toldBy({ terms, marks }: Tells, hose: HoseClass | null): string {
  if (hose === null) return '';
  const codes: number[] = [];
  let code = 0;
  let n = 0;
  const put = (bit: boolean) => {
    if (bit) code |= 1 << (n % 16);
    if (++n % 16 !== 0) return;
    codes.push(code);
    code = 0;
  };
  for (const t of terms) put(covers(t, hose));
  for (const m of marks) put(m[hose.site] === 1);
  codes.push(code);
  return String.fromCharCode(...codes);
}

const groundOf = (place: Place, days: DayBook): Ground => ({
  open: place.open,
  identifies: [0, 1, 2, 3].map((n) => place.identifies(n > 1, n % 2 === 1)),
  closed: days.keep(place.closed),
});
