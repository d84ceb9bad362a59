import type { Policy } from '@fillwright/core/decide';
import { type Fleet, rowsOf } from '@fillwright/core/fleet';
import {
  type Block,
  type EventOf,
  type IslandState,
  isQuiet,
  type Key,
  type ScreenData,
} from '@fillwright/core/island';
import type { YardEvent, YardPort } from '@fillwright/devices';
import type { Logger } from 'pino';
import { z } from 'zod';
import type { Checked } from '../bundles/check.ts';
import type { Clock } from '../clock.ts';
import type { SiteRecord } from '../facts/record.ts';
import type { PinKeeper } from '../pins/keeper.ts';
import type { Deciding } from './deciding.ts';
import { hands } from './hands.ts';
import { type Feed, openLoop } from './loop.ts';
import { blocksToKeep, interrupted, recoveredState } from './recover.ts';
import { openScreens, type Screens } from './screens.ts';
import { openTimers } from './timers.ts';
import { openUntold } from './untold.ts';

/** What people and mishaps do at a simulated yard; a real yard has people of its own. */
export interface YardHands {
  lift(hose: string): void;
  hang(hose: string): void;
  /** 0 shut to 1 full. */
  squeeze(hose: string, share: number): void;
  eStop(on: boolean): void;
  /** The dispenser falls silent and shuts, or comes back. */
  silence(hose: string, silent: boolean): void;
  pulser(hose: string, fault: 'none' | 'stuckA'): void;
  /** Lets a tank hold so many microlitres at once; without a figure, what it held at first. */
  stand(tank: string, ul?: number): void;
}

export interface Yard {
  readonly port: YardPort;
  readonly hands?: YardHands;
  /** Called with every screen that a terminal shows: simulated people read them. */
  readonly see?: (terminal: string, seen: { readonly screen: string; readonly data: ScreenData }) => void;
}
/** What a yard may ask of the box. */
export interface YardBack {
  /** The last durable count of each hose. */
  readonly counts: Readonly<Record<string, number>>;
  /** Answers a question as on a screen with letters. */
  answer(terminal: string, text: string): void;
}
/** Makes the yard for a site's plumbing; called again when a bundle changes that. */
export type YardMaker = (fleet: Fleet, site: string, back: YardBack) => Yard;

export interface RunOptions {
  readonly first: Checked;
  readonly record: SiteRecord;
  readonly pins: PinKeeper;
  readonly clock: Clock;
  readonly log: Logger;
  readonly yard: YardMaker;
  readonly program: string;
  readonly policy: () => Policy;
  readonly cutOff: () => boolean;
  /** Why nobody is served now, beside what the machine knows. */
  readonly out: () => Deciding['out'];
  readonly changed: () => void;
  readonly journalled: () => void;
  readonly fault: (error: unknown) => void;
}

/** One site in motion: the machine, its yard and its screens, under one bundle after another. */
export interface Run {
  readonly state: IslandState;
  readonly screens: Screens;
  readonly hands: YardHands | undefined;
  readonly quiet: boolean;
  readonly feed: Feed;
  /** Only when quiet. */
  take(next: Checked, why: string): void;
  /** The journal was opened anew: what it holds and no hose runs has ended. */
  reconcile(): void;
  /** Closes every hose at once and hears nothing more. */
  halt(): void;
  stop(): Promise<void>;
}

const KEYS: ReadonlySet<string> = new Set([...'0123456789', 'enter', 'clear', 'cancel']);
const keptShape = z.strictObject({
  hoses: z.record(z.string(), z.array(z.string())),
  /** Hoses that somebody took out of service. */
  out: z.array(z.string()).default([]),
  eStop: z.boolean(),
});
const KEPT = 'blocks';
/** A fill that is stopped has so long to come to its end before the box lets go. */
const LAST_WAIT_MS = 8_000;

export function openRun(options: RunOptions): Run {
  const { record, clock, log, policy } = options;
  let now = options.first;
  let yard: Yard | undefined;
  let plumbing = '';
  let stopping = false;
  let outByHand: string[] = [];
  let kept = record.journal.get(KEPT) ?? '{"hoses":{},"eStop":false}';
  let wakeStop = () => {};
  const { site } = now.bundle;

  const begin = clock.now();
  record.begin();
  record.append({ kind: 'started', at: begin, revision: now.bundle.revision, program: options.program });
  for (const end of interrupted(record, site, begin)) record.append(end);

  const screens = openScreens({
    plan: () => now.plan,
    zone: () => policy().sites.get(site)?.zone,
    names: {
      nameOf: (id) => now.fleet.drivers.get(id)?.name || now.fleet.vehicles.get(id)?.name || id,
      kindOf: (id) => now.fleet.questions.get(id)?.kind,
    },
    changed: options.changed,
    shown: ({ terminal, screen, data }) => yard?.see?.(terminal, { screen, data }),
  });
  const untold = openUntold(record);
  const timers = openTimers(clock, (timer) => loop.feed({ kind: 'due', timer }));
  const before = keptShape.parse(JSON.parse(kept));
  const loop = openLoop({
    begin: recoveredState(record, now.plan, begin, before.hoses as Record<string, Block[]>, before.out),
    now: clock.now,
    carryOut: hands({
      record,
      pins: options.pins,
      screens,
      timers,
      untold,
      log,
      yard: () => yard?.port,
      deciding: (terminal) => ({
        policy: policy(),
        usage: record.usage(options.cutOff()),
        site,
        terminal,
        at: clock.now(),
        out: stopping ? 'closed' : record.journal.refusal ? 'journal' : options.out(),
      }),
      journalled: (written) => {
        if (!written.ok) log.error({ code: written.error.code, found: written.error.found }, written.error.cause);
        options.journalled();
      },
      planTaken: (revision) => log.info({ revision }, 'runs'),
    }),
    settled,
    fault: options.fault,
  });

  for (const [id, s] of Object.entries(loop.state.sessions)) {
    const screen = s.name === 'out' ? ('out' as const) : ('idle' as const);
    const data = screen === 'out' ? { why: s.why ?? '' } : { lines: now.plan.terminals[id]?.idle ?? [] };
    screens.show({ do: 'show', terminal: id, screen, language: s.language, data });
  }
  // The button was pressed and nobody has reset it since: that outlives the power.
  if (before.eStop) for (const on of [true, false]) loop.feed({ kind: 'eStop', on });
  setUpYard();

  function settled(state: IslandState): void {
    const blocks = blocksToKeep(state);
    // What is out because the box is stopping is in service again when it starts.
    if (stopping) blocks.out = outByHand;
    const keep = JSON.stringify({ ...blocks, eStop: state.holds.includes('eStop') });
    if (keep !== kept && !record.journal.refusal && record.journal.set(KEPT, keep).ok) kept = keep;
    if (stopping && !busy()) wakeStop();
    options.changed();
  }

  function busy(): boolean {
    return Object.values(loop.state.hoses).some((h) => h.fill !== null);
  }

  function setUpYard(): void {
    const shape = plumbingOf(now.fleet);
    if (shape === plumbing) return;
    plumbing = shape;
    const old = yard;
    yard = undefined;
    Promise.resolve(old?.port.close())
      .then(async () => {
        if (stopping) return;
        const next = options.yard(now.fleet, site, {
          counts: record.fills.kept.counts,
          answer: (terminal, text) => loop.feed({ kind: 'answer', terminal, text }),
        });
        yard = next;
        await next.port.start((event) => yard === next && heard(event));
      })
      .catch(options.fault);
  }

  function heard(event: YardEvent): void {
    if (event.kind === 'pulses') loop.feed({ kind: event.kind, hose: event.hose, count: event.count }, event.ageMs);
    else if (event.kind !== 'key') loop.feed(event);
    else if (KEYS.has(event.key)) loop.feed({ ...event, key: event.key as Key });
  }

  return {
    get state() {
      return loop.state;
    },
    screens,
    get hands() {
      return yard?.hands;
    },
    get quiet() {
      return isQuiet(loop.state);
    },
    feed: loop.feed,
    take(next, why) {
      if (!isQuiet(loop.state)) throw new Error('a bundle is taken only when the yard is quiet');
      now = next;
      record.begin();
      loop.feed({ kind: 'plan', plan: next.plan, why } satisfies Omit<EventOf<'plan'>, 'at'>);
      setUpYard();
    },
    reconcile() {
      record.begin();
      if (!untold.tell()) return;
      const running = new Set(Object.values(loop.state.hoses).map((h) => h.fill?.id));
      for (const end of interrupted(record, site, clock.now()))
        if (!running.has(end.fill)) record.append({ ...end, reason: 'journal' });
    },
    halt() {
      loop.close();
      timers.stopAll();
      yard?.port.close();
    },
    async stop() {
      outByHand = blocksToKeep(loop.state).out;
      stopping = true;
      loop.feed({ kind: 'closing' });
      if (busy())
        await new Promise<void>((resolve) => {
          const callOff = clock.after(LAST_WAIT_MS, resolve);
          wakeStop = () => {
            callOff();
            resolve();
          };
        });
      loop.close();
      timers.stopAll();
      await yard?.port.close();
      yard = undefined;
    },
  };
}

/** What a yard is built from: when this is the same, the yard stays as it is. */
function plumbingOf(fleet: Fleet): string {
  return JSON.stringify([
    fleet.settings.units,
    ...(['hoses', 'tanks', 'pumps', 'terminals'] as const).map((t) => [...rowsOf(fleet, t).values()]),
  ]);
}
