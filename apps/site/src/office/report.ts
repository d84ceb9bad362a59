import type { IslandState } from '@fillwright/core/island';
import type { StateMessage } from '@fillwright/wire';
import type { Shelf } from '../bundles/shelf.ts';
import { type Clock, every } from '../clock.ts';

export interface ReportFacts {
  readonly at: number;
  readonly shelf: Shelf;
  readonly expiresAt: number | undefined;
  readonly cutOff: boolean;
  readonly frozen: boolean;
  readonly unsent: number;
  readonly journal: NonNullable<StateMessage['journal']>;
  readonly epoch: string;
  readonly version: string;
  readonly island: IslandState | undefined;
}

/** What the site says of itself, retained at the broker. */
export function stateOf(f: ReportFacts, link: 'here' | 'gone'): StateMessage {
  const { shelf, island } = f;
  return {
    at: f.at,
    link,
    running: shelf.running,
    runningSince: shelf.runningSince,
    delivered: shelf.waiting ?? shelf.running,
    refused: shelf.refused,
    stale: isStale(f),
    cutOff: f.cutOff,
    frozen: f.frozen,
    unsent: f.unsent,
    epoch: f.epoch,
    version: f.version,
    journal: f.journal,
    hoses: Object.entries(island?.hoses ?? {}).map(([hose, h]) => ({
      hose,
      state: h.name,
      reason: h.blocks[0] ?? null,
    })),
    tanks: Object.entries(island?.tanks ?? {}).map(([tank, t]) => ({
      tank,
      volume: t.ul,
      levelMm: t.levelMm,
      waterMm: t.waterMm,
      tempC: t.tempC,
    })),
  };
}

export interface Reporter {
  changed(): void;
  now(): void;
  close(): void;
}

const SOON_MS = 250;
export const HEARTBEAT_MS = 30_000;

/** Publishes the state soon after it changed, and every `everyMs`. The count of what is unsent alone is no change. */
export function openReporter(
  clock: Clock,
  facts: () => ReportFacts,
  say: (state: StateMessage) => boolean,
  everyMs = HEARTBEAT_MS,
): Reporter {
  let last = '';
  let looked: ReportFacts | undefined;
  let waiting: (() => void) | undefined;
  const now = () => {
    waiting?.();
    waiting = undefined;
    looked = facts();
    const state = stateOf(looked, 'here');
    last = say(state) ? essence(state) : '';
  };
  const stop = every(clock, everyMs, now);
  return {
    now,
    changed() {
      if (waiting || (last !== '' && looked && same(looked, facts()))) return;
      waiting = clock.after(SOON_MS, () => {
        waiting = undefined;
        looked = facts();
        if (essence(stateOf(looked, 'here')) !== last) now();
      });
    },
    close() {
      stop();
      waiting?.();
    },
  };
}

const isStale = ({ at, expiresAt }: ReportFacts) => expiresAt !== undefined && at > expiresAt;

/** Surely the same essence: all that it is made of is the same value still. */
const same = (a: ReportFacts, b: ReportFacts): boolean =>
  a.island === b.island &&
  a.shelf === b.shelf &&
  a.cutOff === b.cutOff &&
  a.frozen === b.frozen &&
  a.epoch === b.epoch &&
  isStale(a) === isStale(b);

const essence = ({ at: _at, unsent: _unsent, journal: _journal, ...rest }: StateMessage): string =>
  JSON.stringify(rest);
