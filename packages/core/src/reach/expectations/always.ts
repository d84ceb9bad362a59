import type { PolicyHose, PolicySite } from '../../decide/index.ts';
import type { ZoneTable } from '../../units/index.ts';
import type { Cell } from './cells.ts';
import type { Checking } from './checking.ts';
import { type Holding, holdsSoMuch } from './holdings.ts';
import { lacking, NONE } from './minutes.ts';
import { isNone, type Region, RegionBook } from './region.ts';
import { EVERY, type Sentence } from './sentence.ts';
import type { Verdict } from './verdict.ts';
import { firstMinute, type Moment, nearest } from './witness.ts';

type Always = Extract<Sentence, { asks: 'always' }>;

/** Those named of the ones for whom it is false. */
const NAMED = 5;

/** SPEC E7, E8: whether each one meant can draw so much, at every minute, somehow. */
export function always(checking: Checking, sentence: Always, wanted: Region): Verdict {
  const { blocks, pools } = checking;
  const { kind, ids } = sentence;
  const reached = reaching(checking, sentence);
  const coupled = couplesOf(checking, sentence, reached.anywhere);
  const clocks = byClock(sentence.hoses);
  const book = new RegionBook(blocks);
  const none = book.keep(blocks.none);
  const numbers: (number | undefined)[] = [];
  /** Where those are served who hold these, by number. */
  const served = (holdings: readonly Holding[]): number => {
    let region = none;
    for (const holding of holdings) {
      let own = numbers[holding.index];
      if (own === undefined) {
        own = book.keep(reached.by(holding));
        numbers[holding.index] = own;
      }
      region = book.or(region, own);
    }
    return region;
  };
  const known: (Shown | null | undefined)[] = [];
  const missing = (n: number): Shown | null => {
    let at = known[n];
    if (at === undefined) {
      const region = book.of(n);
      at = blocks.covers(region, wanted) ? null : unserved(checking, clocks, wanted, region);
      known[n] = at;
    }
    return at;
  };
  let count = 0;
  /** By their place among those meant, ascending. */
  const first: Failing[] = [];
  for (const { party, holdings, places } of pools.classesOf(kind, ids)) {
    const region = party && holdsSoMuch(party, sentence.least) ? served(holdings) : none;
    const at = missing(region);
    if (!at) continue;
    if (coupled.size === 0) {
      count += places.length;
      for (let i = 0; i < places.length && putEarly(first, { place: places[i] as number, at }); ) i++;
      continue;
    }
    for (const place of places) {
      const extra = party && coupled.get(ids[place] as string);
      const own = extra ? missing(extra.reduce((n, more) => book.or(n, book.keep(more)), region)) : at;
      if (!own) continue;
      count++;
      putEarly(first, { place, at: own });
    }
  }
  const one = first[0];
  if (!one) return { verdict: 'holds' };
  const counterexample = nearest(checking, { kind, id: ids[one.place] as string }, one.at.hoses(), one.at.moment);
  const named = first.map(({ place }) => ids[place] as string);
  return {
    verdict: 'broken',
    counterexample,
    failing: ids.length === 1 ? null : { count, of: ids.length, ids: named },
  };
}

/** One for whom it is false, by their place among those meant. */
interface Failing {
  readonly place: number;
  readonly at: Shown;
}

/** Keeps the first few, ascending; false where this one is not among them. */
function putEarly(first: Failing[], one: Failing): boolean {
  let n = first.length;
  while (n > 0 && (first[n - 1] as Failing).place > one.place) n--;
  if (n === NAMED) return false;
  first.splice(n, 0, one);
  if (first.length > NAMED) first.pop();
  return true;
}

/** Where one of the kind is served, with credentials of their own, at the sentence's hoses: by what they hold. */
function reaching(checking: Checking, sentence: Always) {
  const { pools, blocks, holdings } = checking;
  const { least, kind } = sentence;
  const cells = new Map<number, { cell: Cell; any: Region; alone: Region }>();
  for (const place of checking.places.of(sentence.hoses, least)) {
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
  const by = (holding: Holding): Region => {
    let region = blocks.none;
    const minutes = holdings.minutes(holding, least);
    if (minutes === NONE) return region;
    for (const cell of holding.cells) {
      const place = byCell[cell.index];
      if (!place) continue;
      if (region === blocks.none) region = blocks.none.slice();
      blocks.add(region, minutes, blocks.and(holding.days, holding.terms === null ? place.silent : place.party));
    }
    return region;
  };
  return { by, anywhere: places };
}

/** What credentials that name somebody else too add for each of those meant. */
function couplesOf(
  { table, pools, blocks }: Checking,
  { kind, ids, least }: Always,
  places: readonly { cell: Cell; any: Region }[],
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
function unserved({ blocks }: Checking, clocks: readonly Clock[], wanted: Region, region: Region): Shown | null {
  for (const [block, minutes] of wanted.entries()) {
    const lack = lacking(blocks.minutes.of(minutes), blocks.minutes.of(region[block] as number));
    for (const span of blocks.days(block, lack)) {
      const found = shownAnywhere(clocks, span);
      if (found) return found;
    }
  }
  return null;
}

/** The hoses whose sites keep one clock. */
interface Clock {
  readonly zone: ZoneTable;
  readonly hoses: PolicyHose[];
}

function byClock(hoses: readonly PolicyHose[]): Clock[] {
  const clocks = new Map<string, Clock>();
  for (const hose of hoses) {
    const { zone } = hose.site as PolicySite;
    const clock = clocks.get(zone.zone);
    if (clock) clock.hoses.push(hose);
    else clocks.set(zone.zone, { zone, hoses: [hose] });
  }
  return [...clocks.values()];
}

/** The first minute of a stretch of one day that some clock shows. */
function shownAnywhere(
  clocks: readonly Clock[],
  span: { readonly day: number; readonly from: number; readonly to: number },
): Shown | null {
  const shown = clocks.flatMap(({ zone, hoses }) => {
    const moment = firstMinute(zone, span);
    return moment ? [{ moment, hoses }] : [];
  });
  const minute = Math.min(...shown.map(({ moment }) => moment.minute));
  const then = shown.filter(({ moment }) => moment.minute === minute);
  const [one] = then;
  return one ? { moment: one.moment, hoses: () => then.flatMap(({ hoses }) => hoses) } : null;
}
