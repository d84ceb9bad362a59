import type { PolicyHose } from '../../decide/index.ts';
import type { PartyClass } from '../table.ts';
import type { Checking } from './checking.ts';
import { lacking, NONE } from './minutes.ts';
import { placesOf } from './pools.ts';
import { isNone, type Region } from './region.ts';
import { EVERY, type Sentence } from './sentence.ts';
import type { Counterexample, Verdict } from './verdict.ts';
import { firstMinute, type Moment, nearest } from './witness.ts';

type Always = Extract<Sentence, { asks: 'always' }>;

/** Those named of the ones for whom it is false. */
const NAMED = 5;

/** SPEC E7, E8: whether each one meant can draw so much, at every minute, somehow. */
export function always(checking: Checking, sentence: Always, wanted: Region): Verdict {
  const { table, blocks } = checking;
  const of = sentence.kind === 'drivers' ? table.driverOf : table.vehicleOf;
  const reached = reaching(checking, sentence);
  const coupled = couplesOf(checking, sentence, reached.anywhere);
  const clocks = byClock(sentence.hoses);
  const missing = (region: Region): Shown | null =>
    blocks.covers(region, wanted) ? null : unserved(checking, clocks, wanted, region);
  const noClass = missing(blocks.none);
  const byClass = new Map<PartyClass, { readonly region: Region; readonly at: Shown | null }>();
  const failing: string[] = [];
  let counterexample: Counterexample | null = null;
  for (const id of sentence.ids) {
    const party = of.get(id);
    let known = party && byClass.get(party);
    if (party && !known) {
      const region = reached.by(party);
      known = { region, at: missing(region) };
      byClass.set(party, known);
    }
    let at = known ? known.at : noClass;
    const extra = coupled.get(id);
    if (at && known && extra) at = missing(extra.reduce((a, b) => blocks.or(a, b), known.region));
    if (!at) continue;
    counterexample ??= nearest(table, { kind: sentence.kind, id }, at.hoses(), at.moment);
    failing.push(id);
  }
  if (!counterexample) return { verdict: 'holds' };
  const { ids } = sentence;
  return {
    verdict: 'broken',
    counterexample,
    failing: ids.length === 1 ? null : { count: failing.length, of: ids.length, ids: failing.slice(0, NAMED) },
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
  const by = (party: PartyClass): Region => {
    const region = blocks.none.slice();
    if (party.days.length === 0) return region;
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
