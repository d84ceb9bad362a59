import type { Fleet } from '@fillwright/core/fleet';
import type { Entry } from '@fillwright/core/island';
import type { ZoneTable } from '@fillwright/core/units';
import { AN_HOUR, type Counters } from '../traffic.ts';
import { type TankPast, tanksOfPast } from './levels.ts';
import { plantAlarm, planted } from './planted.ts';
import { decided, type PastFill, type PastRefusal } from './visits.ts';

/** Weeks that a fleet has lived before anybody opened its office: the journals that its sites would have kept, and the bills of its tanks. */
export interface Past {
  /** ms UTC, of the first and the last midnight. */
  readonly from: number;
  readonly to: number;
  /** Each site's journal, in the order of its entries; fills are named by `SITE.EPOCH.NUMBER`. */
  readonly journals: ReadonlyMap<string, readonly Entry[]>;
  readonly tanks: readonly TankPast[];
  /** Where the vehicles' counters stand at the end. */
  readonly counters: Counters;
}

export interface PastOptions {
  readonly seed: string | number;
  readonly fleet: Fleet;
  /** Name of the journals. */
  readonly epoch: string;
  /** The release that they ran under. */
  readonly revision: number;
  /** ms UTC: it ends at the last whole minute before. */
  readonly until: number;
  readonly weeks: number;
  readonly zones: (zone: string) => ZoneTable;
  /** Litres an hour, by tank. */
  readonly leaks?: Readonly<Record<string, number>>;
}

const WEEK = 7 * 86_400_000;

/** The same options give the same past. Every fill is one that `decide` approved, every refusal one that it declined. A few are unusual on purpose. */
export function pastOf(o: PastOptions): Past {
  const to = o.until - (o.until % 60_000);
  const from = to - o.weeks * WEEK;
  const { fills, refusals } = decided({ ...o, from, to }, planted);
  const tanks = tanksOfPast(o, fills, from, to);
  const journals = new Map(
    [...o.fleet.sites.keys()].map((site) => {
      const here = fills.filter((f) => f.site === site);
      const loose = [...refusalsAt(site, refusals), ...plantAlarm(site, here, o.fleet)];
      return [site, journalOf(site, here, tanks, loose, o.epoch)] as const;
    }),
  );
  return { from, to, journals, tanks, counters: countersAt(to, o.fleet, fills) };
}

const refusalsAt = (site: string, refusals: readonly PastRefusal[]): Entry[] =>
  refusals.filter((r) => r.site === site).map((r) => r.refused);

/**
 * Where counters stand: at the highest that was keyed (a slip of a key is lower here), and on by as long as that was ago. What a unit takes is what
 * was filled between the first reading and the highest.
 */
function countersAt(at: number, fleet: Fleet, fills: readonly PastFill[]): Counters {
  const known = new Map<string, { kind: 'odometer' | 'hours'; first: number; most: number; at: number; ul: number }>();
  const filled: Record<string, number> = {};
  for (const { authorised: a, ended } of fills) {
    if (a.vehicle === undefined) continue;
    filled[a.vehicle] = Math.max(filled[a.vehicle] ?? 0, ended.at);
    for (const [question, answer] of Object.entries(a.answers)) {
      const kind = fleet.questions.get(question)?.kind;
      if (kind !== 'odometer' && kind !== 'hours') continue;
      const key = `${a.vehicle}/${kind}`;
      const reading = Number(answer);
      const had = known.get(key);
      const fuel = fleet.products.get(fleet.hoses.get(ended.hose)?.product ?? '')?.kind !== 'def';
      if (!had) known.set(key, { kind, first: reading, most: reading, at: ended.at, ul: 0 });
      else {
        if (fuel) had.ul += ended.ul;
        if (reading < had.most) continue;
        had.most = reading;
        had.at = ended.at;
      }
    }
  }
  const values: Record<string, number> = {};
  const uses: Record<string, number> = {};
  for (const [key, { kind, first, most, at: last, ul }] of known) {
    values[key] = Math.round(most + ((at - last) / 3_600_000) * AN_HOUR[kind]);
    if (most > first && ul > 0) uses[key] = ul / (most - first);
  }
  return { at, values, filled, uses };
}

/** Entries in order of time, each end naming the fill by where its authorisation stands. */
function journalOf(
  site: string,
  fills: readonly PastFill[],
  tanks: readonly TankPast[],
  loose: readonly Entry[],
  epoch: string,
): Entry[] {
  type Waiting = {
    readonly at: number;
    readonly entry: (fill: (id: string) => string) => Entry;
    readonly begins?: string;
  };
  const waiting: Waiting[] = [];
  for (const f of fills) {
    waiting.push({ at: f.authorised.at, entry: () => f.authorised, begins: f.id });
    waiting.push({ at: f.ended.at, entry: (fill) => ({ ...f.ended, fill: fill(f.id) }) });
  }
  for (const tank of tanks.filter((t) => t.site === site))
    for (const { fill: of, ...reading } of tank.readings)
      waiting.push({
        at: reading.at,
        entry: (fill) => ({
          kind: 'reading',
          tank: tank.tank,
          ...reading,
          ...(of === undefined ? {} : { fill: fill(of) }),
        }),
      });
  for (const entry of loose) waiting.push({ at: entry.at, entry: () => entry });
  // At one moment a fill begins before anything else is said of it; the sort is stable.
  waiting.sort((a, b) => a.at - b.at || Number(b.begins !== undefined) - Number(a.begins !== undefined));
  const names = new Map<string, string>();
  return waiting.map(({ entry, begins }, i) => {
    if (begins !== undefined) names.set(begins, `${site}.${epoch}.${i + 1}`);
    return entry((id) => names.get(id) ?? '');
  });
}
