import type { Fleet, Tank } from '@fillwright/core/fleet';
import type { TankVerdict } from '@fillwright/wire';
import type { Logger } from 'pino';
import type { Drafts } from '../draft/drafts.ts';
import type { FiguresThread } from '../figures/thread.ts';
import type { Database } from '../store/database.ts';
import { stockAsked } from './asked.ts';

/** Every tank's verdict, so that a loss is seen by whoever looks at the day and not only by whoever opens that tank. */
export interface TankWatch {
  /**
   * The newest verdict of each tank of the draft. Those that are not of this hour are worked out one after another from now on; `left`
   * says how many still are. Where one cannot be worked out it is missing until the next hour.
   */
  verdicts(fleet: string): Promise<{ left: number; tanks: TankVerdict[] }>;
  stop(): Promise<void>;
}

const HOUR_MS = 3_600_000;
const SPAN_MS = 30 * 24 * HOUR_MS;

/** A verdict, and what it is of: the tank as it was declared, and the hour. */
interface Judged {
  readonly of: string;
  readonly verdict: TankVerdict | undefined;
}

export interface TankWatchOptions {
  readonly db: Database;
  readonly drafts: Drafts;
  readonly figures: FiguresThread;
  readonly log: Logger;
  /** Milliseconds UTC. */
  readonly now: () => number;
}

export function openTankWatch({ db, drafts, figures, log, now }: TankWatchOptions): TankWatch {
  const judged = new Map<string, Map<string, Judged>>();
  const working = new Map<string, Promise<void>>();
  let stopped = false;

  const judge = async (fleetId: string, fleet: Fleet, tank: Tank, to: number): Promise<TankVerdict | undefined> => {
    const span = { from: to - SPAN_MS, to, leadDays: 2 };
    const key = ['verdict', fleetId, of(tank, to)].join(' ');
    const verdict = await figures.ask<'verdict'>(key, async () => ({
      kind: 'verdict',
      ...(await stockAsked(db, fleetId, fleet, tank, span)),
    }));
    if (verdict.ok) return verdict.value;
    if (!stopped) log.warn({ tank: tank.id, problems: verdict.error }, 'a tank could not be judged');
    return undefined;
  };

  const work = async (fleetId: string, fleet: Fleet, due: readonly Tank[], to: number, into: Map<string, Judged>) => {
    for (const tank of due) {
      if (stopped) return;
      into.set(tank.id, { of: of(tank, to), verdict: await judge(fleetId, fleet, tank, to) });
    }
  };

  return {
    async verdicts(fleetId) {
      const { fleet } = await db.as(fleetId, (tx) => drafts.current(tx, fleetId));
      const to = now() - (now() % HOUR_MS);
      const into = judged.get(fleetId) ?? new Map<string, Judged>();
      judged.set(fleetId, into);
      for (const id of into.keys()) if (!fleet.tanks.has(id)) into.delete(id);
      const due = [...fleet.tanks.values()].filter((t) => into.get(t.id)?.of !== of(t, to));
      if (due.length > 0 && !working.has(fleetId) && !stopped) {
        const run = work(fleetId, fleet, due, to, into)
          .catch((cause) => {
            if (!stopped) log.error(cause, 'the tanks could not be judged');
          })
          .finally(() => working.delete(fleetId));
        working.set(fleetId, run);
      }
      const tanks = [...fleet.tanks.keys()].flatMap((id) => into.get(id)?.verdict ?? []);
      return { left: due.length, tanks };
    },
    async stop() {
      stopped = true;
      await Promise.all(working.values());
    },
  };
}

const of = (tank: Tank, to: number): string => `${to} ${JSON.stringify(tank)}`;
