import { amountOf, volumeOfPulses } from '../units/index.ts';
import type { Remembered } from './boot.ts';
import { type Entry, type EntryOf, type EntryRef, fillIdOf } from './entries.ts';

/** A journalled entry with its place. */
export interface Placed {
  readonly ref: EntryRef;
  readonly entry: Entry;
}

export interface Recovered {
  /** Fills that were open when the power went, each ended with its last durable count; to be journalled before anything else. */
  readonly interrupted: readonly EntryOf<'ended'>[];
  /** For `bootState`. */
  readonly remembered: Remembered;
  /** The revision that ran last; null when the journal tells of none. */
  readonly revision: number | null;
}

/** How far a fill had come, by what is durable. */
type Point = Pick<EntryOf<'checkpoint'>, 'hose' | 'pulses' | 'count'>;

/**
 * An alarm tells where the counter stands and how far it moved in doubt. What moved between the last point and that doubt is the fill's; the doubt
 * itself is told already, and must not be told again when the counter is next read.
 */
function pointAfter(point: Point, { count = point.count, pulses = 0 }: EntryOf<'alarm'>): Point {
  const flowed = count - pulses - point.count;
  return { ...point, pulses: point.pulses + Math.max(0, flowed), count };
}

/**
 * What a journal tells a box that starts: which fills were in flight, the last durable count of every hose and its measured lags.
 * Entries must be in order. A count that moved after the last checkpoint is found when the dispenser reports, and told by an alarm.
 */
export function recover(site: string, entries: Iterable<Placed>, at: number): Recovered {
  const open = new Map<string, EntryOf<'authorised'>>();
  const last = new Map<string, Point>();
  const armedAt = new Map<string, number>();
  const firstAt = new Map<string, number>();
  const counts: Record<string, number> = {};
  const lags: Record<string, number[]> = {};
  let revision: number | null = null;
  for (const { ref, entry } of entries) {
    if (entry.kind === 'authorised') open.set(fillIdOf(site, ref), entry);
    else if (entry.kind === 'checkpoint') {
      last.set(entry.fill, entry);
      counts[entry.hose] = entry.count;
      if (entry.step === 'armed') armedAt.set(entry.fill, entry.at);
      else if (entry.pulses > 0 && !firstAt.has(entry.fill)) firstAt.set(entry.fill, entry.at);
    } else if (entry.kind === 'ended') {
      for (const m of [open, last, armedAt, firstAt]) m.delete(entry.fill);
      if (entry.count !== null) counts[entry.hose] = entry.count;
      if (entry.lagPulses !== null) {
        const kept = lags[entry.hose] ?? [];
        kept.push(Math.max(0, entry.lagPulses));
        lags[entry.hose] = kept.slice(-20);
      }
    } else if (entry.kind === 'alarm' && entry.hose !== undefined && entry.count !== undefined) {
      counts[entry.hose] = entry.count;
      for (const [fill, point] of last) if (point.hose === entry.hose) last.set(fill, pointAfter(point, entry));
    } else if (entry.kind === 'started') revision = entry.revision;
    else if (entry.kind === 'revision') revision = entry.to;
  }
  const interrupted = [...open].map(([fill, auth]): EntryOf<'ended'> => {
    const point = last.get(fill);
    const pulses = point?.pulses ?? 0;
    const ul = pulses === 0 ? 0 : volumeOfPulses(pulses, auth.pulsesPerMeasure, auth.unit);
    return {
      kind: 'ended',
      at,
      fill,
      hose: auth.hose,
      reason: 'powerLoss',
      pulses,
      ul,
      amount: auth.price === null ? null : amountOf(ul, auth.price, auth.unit),
      overPulses: Math.max(0, pulses - auth.limitPulses),
      overUl: pulses > auth.limitPulses ? Math.max(0, ul - auth.limitUl) : 0,
      armedAt: armedAt.get(fill) ?? null,
      firstPulseAt: firstAt.get(fill) ?? null,
      timers: [],
      curve: [],
      lagPulses: null,
      count: point?.count ?? null,
    };
  });
  return { interrupted, remembered: { counts, lags }, revision };
}
