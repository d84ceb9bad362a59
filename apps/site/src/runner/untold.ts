import type { EntryOf } from '@fillwright/core/island';
import type { SiteRecord } from '../facts/record.ts';

type Alarm = EntryOf<'alarm'>;

/** Alarms that the journal could not take; they wait until it can be written again. Those of a box that dies meanwhile are found by their counts. */
export interface Untold {
  keep(alarm: Alarm): void;
  /** Writes what waits, before anything else has a count; true when nothing waits any more. */
  tell(): boolean;
}

export function openUntold(record: SiteRecord): Untold {
  const waiting: Alarm[] = [];
  return {
    keep(alarm) {
      const last = waiting.findLastIndex((w) => w.hose === alarm.hose);
      const before = waiting[last];
      // The first may be on the disk already: it stays as it was.
      const more = before && last > 0 ? together(before, alarm) : undefined;
      if (more) waiting[last] = more;
      else waiting.push(alarm);
    },
    tell() {
      for (let alarm = waiting[0]; alarm; alarm = waiting[0]) {
        // A write that was reported as failed may be on the disk all the same.
        if (!record.endsWith(alarm) && !record.append(alarm).ok) return false;
        waiting.shift();
      }
      return true;
    },
  };
}

/** One alarm for two of a kind, so that a full disk and a valve that leaks do not fill the memory too. */
function together(a: Alarm, b: Alarm): Alarm | undefined {
  if (a.alarm !== b.alarm || a.tank !== b.tank || a.fill !== b.fill || a.alarm === 'counterReset') return undefined;
  if (a.pulses === undefined || b.pulses === undefined) return a.pulses === b.pulses ? a : undefined;
  return { ...b, at: a.at, pulses: a.pulses + b.pulses };
}
