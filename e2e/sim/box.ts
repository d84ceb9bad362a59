import { err, ok, problem } from '@fillwright/core/errors';
import type { Block, HoseName, IslandState } from '@fillwright/core/island';
import type { JournalPort } from '@fillwright/journal';
import type { Random, VirtualClock } from '@fillwright/sim';
import { type Box, type Clock, openBox, readMessage, type Wire, type WireParts, waitMs } from '@fillwright/site';
import { parseDownTopic, topics } from '@fillwright/wire';
import { newSealingKeys, newSigningKeys } from '@fillwright/wire/keys';
import { pino } from 'pino';
import type { Broker, Line } from './broker.ts';
import { type Disk, type Fate, type JournalRows, PowerCut, write } from './disk.ts';
import { FLEET } from './fleet.ts';
import { openMemoryJournal } from './journal.ts';
import type { Signatures } from './signatures.ts';
import type { Trace } from './trace.ts';
import type { SimYard } from './yard.ts';

/** One box of the yard: the real program on a disk, a line and a clock of this simulation. It lives through many lives of its process. */
export interface SimBox {
  readonly name: string;
  readonly site: string;
  readonly disk: Disk;
  readonly yard: SimYard;
  readonly alive: boolean;
  /** The machine's state now; undefined while the box is off or has nothing to run. */
  readonly island: IslandState | undefined;
  /** Its journal takes no writes. */
  readonly refused: boolean;
  readonly line: Line;
  readonly sealKey: string;
  /** By the box's own clock, before the office corrects it. */
  now(): number;
  /** Wall clock of the box against the world's. */
  offset: number;
  lineDown: boolean;
  /** Fates of the writes to come; the first is the next write's. */
  readonly fates: Fate[];
  /** While it holds, every write is refused so. */
  stuck: Fate | undefined;
  boot(): void;
  /** The power goes, or the process alone. */
  die(why: string): void;
  /** Somebody who has looked takes away the blocks that he may. */
  lift(may: (block: Block) => boolean): void;
}

export interface SimBoxOptions {
  readonly name: string;
  readonly site: string;
  readonly clock: VirtualClock;
  readonly random: Random;
  readonly broker: Broker;
  readonly trace: Trace;
  readonly disk: Disk;
  readonly yard: SimYard;
  /** Of the box that this one was copied from. */
  readonly identity: ReturnType<typeof newIdentity>;
  readonly signatures: Signatures;
  readonly seen: (terminal: string, screen: string) => void;
  readonly settled: (box: SimBox) => void;
  readonly heard: (box: SimBox, kind: string, payload: string) => void;
  /** The journal as it is on the disk now. */
  readonly wrote: (journal: JournalRows) => void;
  /** A write meets another fate than 'ok'; told before anything comes of it. */
  readonly struck: (box: SimBox, fate: Fate) => void;
  readonly pinCompared: (box: SimBox, driver: string) => void;
  readonly fault: (box: SimBox, error: unknown) => void;
  /** Something waits for its turn: promises must run before time goes on. */
  readonly stir: () => void;
}

export const newIdentity = (box: string) => ({
  box,
  sign: newSigningKeys(),
  seal: newSealingKeys(),
  pinSecret: 'c2VjcmV0',
});

const log = pino({ level: 'silent' });
const REBOOT_MS = 30_000;
const NOTICED_GONE_MS = 45_000;

export function simBox(options: SimBoxOptions): SimBox {
  const { clock, random, broker, trace, site, name } = options;
  let life = 0;
  let alive = false;
  let box: Box | undefined;
  let journal: JournalPort | undefined;
  let hear: (topic: string, payload: string, retained: boolean) => void = () => {};
  const line = broker.line(options.identity.box, (topic, payload, retained) => hear(topic, payload, retained));
  const down = `fillwright/${FLEET}/${site}/down/`;
  const all = `fillwright/${FLEET}/all/`;
  const filters = [(topic: string) => topic.startsWith(down), (topic: string) => topic.startsWith(all)];

  const self: SimBox = {
    name,
    site,
    disk: options.disk,
    yard: options.yard,
    line,
    sealKey: options.identity.seal.publicKey,
    offset: 0,
    lineDown: false,
    fates: [],
    stuck: undefined,
    get alive() {
      return alive;
    },
    get island() {
      return alive ? box?.run?.state : undefined;
    },
    get refused() {
      return alive && journal?.refusal !== undefined;
    },
    // No wall clock shows a time before 1970.
    now: () => Math.max(0, Math.floor(clock.now() + self.offset)),
    boot,
    die,
    lift(may) {
      for (const [hose, h] of Object.entries(self.island?.hoses ?? {}))
        for (const block of h.blocks.filter(may)) box?.run?.feed({ kind: 'cleared', hose, block, by: 'a person' });
      if (self.island?.eStop === false) box?.run?.feed({ kind: 'cleared', block: 'eStop', by: 'a person' });
    },
  };

  function die(why: string): void {
    if (!alive) return;
    alive = false;
    life++;
    trace.note(`${name} dies`, why);
    clock.after(NOTICED_GONE_MS, () => {
      if (!alive) line.cut();
    });
  }

  function boot(): void {
    if (alive) return;
    alive = true;
    const mine = ++life;
    const living = () => alive && life === mine;
    trace.note(`${name} boots`);
    options.stir();
    hear = () => {};
    line.broken = () => {};
    line.cut();
    const began = clock.now();
    const own: Clock = {
      pace: 1,
      now: () => self.now(),
      monotonic: () => clock.now() - began,
      after: (ms, call) => clock.after(ms, () => living() && call()),
    };
    // This life's hold on the disk: a dead box writes nothing more.
    const hold: Disk = {
      get journal() {
        return options.disk.journal;
      },
      set journal(rows) {
        options.disk.journal = rows;
        if (rows) options.wrote(rows);
      },
      get shelf() {
        return options.disk.shelf;
      },
      set shelf(rows) {
        options.disk.shelf = rows;
      },
      fate() {
        if (!living()) throw new PowerCut();
        const fate = self.fates.shift() ?? self.stuck ?? options.disk.fate();
        if (fate !== 'ok') {
          trace.note(`${name} write`, fate);
          options.struck(self, fate);
        }
        return fate;
      },
    };
    const fault = (error: unknown) => {
      if (error instanceof PowerCut) return;
      if (living()) die('a fault of the program');
      options.fault(self, error);
    };
    try {
      const opened = openBox({
        identity: options.identity,
        membership: {
          fleet: FLEET,
          site,
          name: site,
          officeKey: options.signatures.publicKey,
          officeKeyVersion: 0,
          mqttUrl: 'mqtt://simulated.invalid',
          user: '',
          password: '',
        },
        store: {
          shelf: () => hold.shelf.shelf ?? NO_SHELF,
          keep(shelf) {
            options.stir();
            return put(hold, { ...hold.shelf, shelf });
          },
          put: (revision, text) =>
            put(hold, { ...hold.shelf, bundles: new Map([...hold.shelf.bundles, [revision, text]]) }),
          get: (revision) => hold.shelf.bundles.get(revision),
        },
        openJournal(whose) {
          const opened = openMemoryJournal(hold, whose);
          journal = opened.ok ? opened.value : undefined;
          return opened;
        },
        openWire: (parts) => openSimWire(parts, living),
        yard: (_fleet, _site, back) => {
          void back;
          return {
            port: options.yard.plug(living),
            see: (terminal, { screen }) => living() && options.seen(terminal, screen),
          };
        },
        clock: own,
        random: () => random.next(),
        randomId: () => random.whole(1_000_000, 9_999_999).toString(36),
        verifying: {
          make: async (_secret, _driver, pin) => `kept ${pin}`,
          matches: async (kept, _secret, driver, digits) => {
            options.pinCompared(self, driver);
            options.stir();
            return kept === `kept ${digits}`;
          },
        },
        openSigned: options.signatures.open,
        log,
        reportEveryMs: 60 * 60_000,
        fault,
        changed: () => living() && options.settled(self),
      });
      if (!opened.ok) {
        trace.note(`${name} does not open`, opened.error.code);
        die('does not open');
        again();
        return;
      }
      box = opened.value;
      box.start();
    } catch (error) {
      if (!(error instanceof PowerCut)) throw error;
      again();
    }
  }
  function again(): void {
    clock.after(REBOOT_MS, () => {
      if (!alive) {
        options.yard.powerGone(false);
        boot();
      }
    });
  }

  function openSimWire(parts: WireParts, living: () => boolean): Wire {
    let tries = 0;
    const dial = () => {
      if (!living()) return;
      const will = { topic: topics.up(FLEET, site, 'state'), payload: JSON.stringify(parts.will()) };
      if (self.lineDown || !line.dial(filters, will)) {
        parts.clock.after(waitMs(tries++, parts.random()), dial);
        return;
      }
      tries = 0;
      parts.up();
    };
    hear = (topic, payload, retained) => {
      const kind = parseDownTopic(topic)?.kind;
      const read = kind && readMessage(kind, Buffer.from(payload));
      if (!read || !living()) return;
      if (kind === 'pins' || kind === 'bundle') options.stir();
      parts.heard(read, retained);
      if (living()) options.heard(self, kind, payload);
    };
    line.broken = () => {
      if (!living()) return;
      parts.down();
      parts.clock.after(waitMs(tries++, parts.random()), dial);
    };
    parts.clock.after(100, dial);
    return {
      get up() {
        return living() && line.up;
      },
      say(kind, value) {
        if (!living() || !line.up) return false;
        line.say(topics.up(FLEET, site, kind), JSON.stringify(value), kind === 'state');
        return true;
      },
      close: async () => line.cut(),
    };
  }
  return self;
}

const NO_SHELF = {
  running: null,
  runningSince: null,
  before: null,
  waiting: null,
  newest: 0,
  trialStarts: null,
  refused: null,
} as const;

function put(hold: Disk, next: Disk['shelf']) {
  const done = write(hold, () => {
    hold.shelf = next;
  });
  return done === 'ok' ? ok(undefined) : err(problem('FW-601', { found: done }));
}

/** States of a box's hoses, each once. */
export const statesOf = (box: SimBox): readonly (HoseName | 'off')[] =>
  box.island ? [...new Set(Object.values(box.island.hoses).map((h) => h.name))] : ['off'];
