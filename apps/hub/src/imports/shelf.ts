import { type Problem, problem } from '@fillwright/core/errors';
import type { RawIntake, RosterMapping } from '@fillwright/intake';

/** A file that was read and waits for somebody to take it into the draft. */
export interface Waiting {
  readonly id: string;
  readonly fleet: string;
  readonly name: string;
  readonly raw: RawIntake;
  /** How a roster's columns are read; null for a workbook of ours. */
  readonly mapping: RosterMapping | null;
  readonly until: number;
}

const TWO_HOURS_MS = 2 * 3_600_000;
const MOST_A_FLEET = 8;

/** Keeps read files in memory for two hours; a hub that restarts forgets them, and the person imports again. */
export interface Shelf {
  put(waiting: Omit<Waiting, 'until'>): Waiting;
  take(fleet: string, id: string): Waiting | Problem;
  drop(id: string): void;
}

export function openShelf(now: () => number): Shelf {
  const waiting = new Map<string, Waiting>();
  const clear = () => {
    for (const [id, one] of waiting) if (one.until <= now()) waiting.delete(id);
  };
  return {
    put(one) {
      clear();
      const kept = { ...one, until: now() + TWO_HOURS_MS };
      waiting.delete(one.id);
      waiting.set(one.id, kept);
      const own = [...waiting.values()].filter((w) => w.fleet === one.fleet);
      for (const oldest of own.slice(0, Math.max(0, own.length - MOST_A_FLEET))) waiting.delete(oldest.id);
      return kept;
    },
    take(fleet, id) {
      clear();
      const found = waiting.get(id);
      return found && found.fleet === fleet ? found : problem('FW-111');
    },
    drop: (id) => {
      waiting.delete(id);
    },
  };
}
