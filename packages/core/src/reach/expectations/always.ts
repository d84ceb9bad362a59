import type { PolicyHose } from '../../decide/index.ts';
import type { PartyClass, TermsList } from '../table.ts';
import type { Checking } from './checking.ts';
import { lacking, NONE } from './minutes.ts';
import { placesOf } from './pools.ts';
import { ByRegion, isNone, type Region } from './region.ts';
import { EVERY, type Sentence } from './sentence.ts';
import type { Verdict } from './verdict.ts';
import { firstMinute, type Moment, nearest } from './witness.ts';

type Always = Extract<Sentence, { asks: 'always' }>;

/** So many places are looked at one by one. */
const FEW = 8;

/** Those named of the ones for whom it is false. */
const NAMED = 5;

/** SPEC E7, E8: whether each one meant can draw so much, at every minute, somehow. */
export function always(checking: Checking, sentence: Always, wanted: Region): Verdict {
  const { table, blocks, pools } = checking;
  const { kind, ids } = sentence;
  const reached = reaching(checking, sentence);
  const coupled = couplesOf(checking, sentence, reached.anywhere);
  const clocks = byClock(sentence.hoses);
  // Many classes are served at the same minutes.
  const known = new ByRegion<Shown | null>();
  const noneAt = blocks.covers(blocks.none, wanted) ? null : unserved(checking, clocks, wanted, blocks.none);
  const missing = (region: Region): Shown | null => {
    if (region === blocks.none) return noneAt;
    return known.of(region, () => (blocks.covers(region, wanted) ? null : unserved(checking, clocks, wanted, region)));
  };
  let count = 0;
  /** The first of each class, by their place among those meant: the first of all are among them. */
  const first: { readonly place: number; readonly at: Shown }[] = [];
  for (const { party, places } of pools.classesOf(kind, ids)) {
    const region = party ? reached.by(party) : blocks.none;
    const at = missing(region);
    if (!at) continue;
    let some = 0;
    for (const place of coupled.size === 0 ? places.slice(0, NAMED) : places) {
      const extra = party && coupled.get(ids[place] as string);
      const own = extra ? missing(extra.reduce((a, b) => blocks.or(a, b), region)) : at;
      if (!own) continue;
      if (some++ < NAMED) first.push({ place, at: own });
    }
    count += coupled.size === 0 ? places.length : some;
  }
  first.sort((a, b) => a.place - b.place);
  const one = first[0];
  if (!one) return { verdict: 'holds' };
  const counterexample = nearest(table, { kind, id: ids[one.place] as string }, one.at.hoses(), one.at.moment);
  const named = first.slice(0, NAMED).map(({ place }) => ids[place] as string);
  return {
    verdict: 'broken',
    counterexample,
    failing: ids.length === 1 ? null : { count, of: ids.length, ids: named },
  };
}

/** Where one of the kind is served, with credentials of their own, at the sentence's hoses. */
function reaching(checking: Checking, sentence: Always) {
  const { pools, blocks, hoseClassOf } = checking;
  const { least, kind } = sentence;
  const classes = new Set(sentence.hoses.flatMap((h) => hoseClassOf.get(h.row.id) ?? []));
  const cells = new Map<number, { cell: (typeof pools.cells)[number]; any: Region; alone: Region }>();
  for (const place of placesOf(pools, [...classes], least)) {
    const had = cells.get(place.cell.index) ?? { cell: place.cell, any: blocks.none, alone: blocks.none };
    const alone = kind === 'drivers' ? place.driver : place.vehicle;
    cells.set(place.cell.index, {
      cell: place.cell,
      any: blocks.or(had.any, place.open),
      alone: alone ? blocks.or(had.alone, place.open) : had.alone,
    });
  }
  const others = kind === 'drivers' ? 'vehicles' : 'drivers';
  const places = [...cells.values()].map(({ cell, any, alone }) => {
    const partners = pools.pool(others, EVERY, cell, least);
    const accompanied = blocks.and(any, blocks.or(partners.party, partners.silent));
    return { cell, any, party: blocks.or(alone, accompanied), silent: blocks.and(any, partners.party) };
  });
  const byCell: ((typeof places)[number] | undefined)[] = [];
  for (const place of places) byCell[place.cell.index] = place;
  // Where there are few places, most lists are of others.
  const covered = ({ terms }: TermsList) =>
    places.length > FEW ||
    terms.length === 0 ||
    places.some(({ cell }) => terms.some((t) => t.products[cell.product] === 1 && (t.sites?.[cell.site] ?? 1) === 1));
  const by = (party: PartyClass): Region => {
    if (party.days.length === 0 || !covered(party.list)) return blocks.none;
    const region = blocks.none.slice();
    const days = blocks.on(party.days);
    for (const { cell, steps } of pools.cellsOf(party.list)) {
      const place = byCell[cell.index];
      if (!place) continue;
      const { minutes, silent } = pools.lets(party, cell, least, steps);
      if (minutes !== NONE) blocks.add(region, minutes, blocks.and(days, silent ? place.silent : place.party));
    }
    return region;
  };
  return { by, anywhere: places };
}

/** What credentials that name somebody else too add for each of those meant. */
function couplesOf(
  { table, pools, blocks }: Checking,
  { kind, ids, least }: Always,
  places: readonly { cell: (typeof pools.cells)[number]; any: Region }[],
): ReadonlyMap<string, Region[]> {
  const added = new Map<string, Region[]>();
  if (table.couples.length === 0) return added;
  const meant = new Set(ids);
  for (const couple of table.couples) {
    const id = kind === 'drivers' ? couple.driverId : couple.vehicleId;
    if (!meant.has(id)) continue;
    for (const { cell, any } of places) {
      const region = pools.couple(couple, cell, least);
      if (!region) continue;
      const here = blocks.and(region, any);
      if (isNone(here)) continue;
      const had = added.get(id);
      if (had) had.push(here);
      else added.set(id, [here]);
    }
  }
  return added;
}

interface Shown {
  readonly moment: Moment;
  /** Gathered only where somebody asks: there may be thousands. */
  readonly hoses: () => readonly PolicyHose[];
}

/** The first minute at which somebody is served nowhere, with the hoses whose clocks show it: null where no clock shows such a minute. */
function unserved({ blocks }: Checking, clocks: readonly PolicyHose[][], wanted: Region, region: Region): Shown | null {
  for (const [block, minutes] of wanted.entries()) {
    if (minutes === NONE) continue;
    const lack = lacking(blocks.minutes.of(minutes), blocks.minutes.of(region[block] as number));
    for (const span of blocks.days(block, lack)) {
      const found = shownAnywhere(clocks, span);
      if (found) return found;
    }
  }
  return null;
}

/** Hoses by the clock that their site keeps. */
function byClock(hoses: readonly PolicyHose[]): PolicyHose[][] {
  const clocks = new Map<string, PolicyHose[]>();
  for (const hose of hoses) {
    const zone = hose.site?.zone.zone ?? '';
    const list = clocks.get(zone);
    if (list) list.push(hose);
    else clocks.set(zone, [hose]);
  }
  return [...clocks.values()];
}

/** The first minute of a stretch of one day that some clock shows. */
function shownAnywhere(
  clocks: readonly PolicyHose[][],
  span: { readonly day: number; readonly from: number; readonly to: number },
): Shown | null {
  const moments = clocks.map((list) => list[0]?.site && firstMinute(list[0].site.zone, span));
  const first = moments.reduce((a, b) => (a && (!b || a.minute <= b.minute) ? a : b), undefined);
  if (!first) return null;
  const shown = (_: unknown, i: number) => moments[i]?.minute === first.minute;
  return { moment: first, hoses: () => clocks.filter(shown).flat() };
}
