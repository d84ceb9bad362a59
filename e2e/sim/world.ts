import { BLOCKS, type HoseName } from '@fillwright/core/island';
import { type Random, randomFrom, virtualClock } from '@fillwright/sim';
import type { Shelf } from '@fillwright/site';
import type { UsageMessage } from '@fillwright/wire';
import { newIdentity, type SimBox, simBox, statesOf } from './box.ts';
import { simBroker } from './broker.ts';
import { Broken, Counters, entryIn, type Invariant, must, openFillOf, pulsesAtOffice } from './checks.ts';
import { emptyDisk, type Fate, type JournalRows } from './disk.ts';
import { type Fault, type FaultKind, faultsFrom } from './faults.ts';
import { CARDS, hosesOf, SITES, simFleet } from './fleet.ts';
import { type SimHub, simHub } from './hub.ts';
import { inflict } from './inflict.ts';
import { openMemoryJournal } from './journal.ts';
import { type People, people } from './people.ts';
import { openSignatures } from './signatures.ts';
import { openTrace, type Trace } from './trace.ts';
import { MOST_LAG, simYard } from './yard.ts';

export interface WorldOptions {
  readonly seed: string;
  readonly sites?: number;
  readonly days?: number;
  /** Without them, those that the seed gives. */
  readonly faults?: readonly Fault[];
  /** Called with each leap; for a test that acts by itself. */
  readonly each?: (world: World) => void;
}

export interface Outcome {
  readonly seed: string;
  readonly digest: string;
  readonly siteDays: number;
  readonly leaps: number;
  readonly faults: readonly Fault[];
  /** Fault and state of a hose of the struck box -> how often. */
  readonly covered: ReadonlyMap<string, number>;
  readonly fills: number;
  readonly refusals: number;
  readonly failure:
    | { readonly invariant: Invariant; readonly words: string; readonly last: readonly string[] }
    | undefined;
}

/** One box with what is known of it from outside. */
export interface Watched {
  readonly box: SimBox;
  readonly counters: Counters;
  readonly people: People;
  readonly limits: Map<string, number>;
  readonly ran: Set<number>;
  /** Revisions that it left for an older one. */
  readonly left: Set<number>;
  pending: Fault[];
  newest: number;
  acknowledged: number;
  /** What the last look found. */
  looked: {
    readonly journal: JournalRows | undefined;
    readonly shelf: Shelf | undefined;
    readonly said: number | null;
  };
  /** Of every entry as it was written, by its number. */
  readonly hashes: string[];
  heardAt: number;
  /** Pulses of which nothing durable can tell: gone with a counter's memory. */
  untold: number;
  /** What the next struck write is for. */
  striking: FaultKind | undefined;
}

export interface World {
  readonly clock: ReturnType<typeof virtualClock>;
  readonly random: Random;
  readonly hub: SimHub;
  readonly broker: ReturnType<typeof simBroker>;
  readonly trace: Trace;
  readonly boxes: readonly Watched[];
  readonly began: number;
  /** Faults that have not passed yet. */
  lasting: number;
  cover(kind: FaultKind, states: readonly (HoseName | 'off')[]): void;
  release(kind: 'good' | 'poisoned'): void;
  stopCard(): void;
  /** Cuts the box off its power and brings it back. */
  cut(w: Watched, how: { counters: boolean; hoses: boolean; forMs: number }): void;
  lift(w: Watched): void;
}

/** Shortly before Europe and then America set their clocks back. */
const START = Date.UTC(2026, 9, 24, 12);
/** All must have come home by then; mostly it has much sooner. */
const HEAL_MS = 12 * 3_600_000;
const HOME_MS = 2 * 3_600_000;
const LOOK_MS = 45 * 60_000;

/** One whole run: the same options give the same trace, to the letter. */
export async function runWorld(options: WorldOptions): Promise<Outcome> {
  const { seed, sites = 3, days = 4 } = options;
  const random = randomFrom(`sim/${seed}`);
  const faults = options.faults ?? faultsFrom(random.part('faults'), sites, days);
  const clock = virtualClock(START);
  const trace = openTrace(() => clock.now() - START);
  const broker = simBroker(clock, random.part('broker'), trace);
  const signatures = openSignatures();
  const covered = new Map<string, number>();
  let failure: Outcome['failure'];
  let stirred = true;
  let edition = 0;
  let fills = 0;
  let refusals = 0;

  /** Looks without disturbing: what is broken is kept, and the run ends. */
  function check(look: () => void): void {
    try {
      look();
    } catch (error) {
      if (!(error instanceof Broken)) throw error;
      fail(error.invariant, error.message);
    }
  }
  function fail(invariant: Invariant, words: string): void {
    failure ??= { invariant, words, last: trace.last() };
  }

  const rows = (w: Watched) => w.box.disk.journal as JournalRows;
  /** Looks at what has changed since it last looked; rows of a disk are never changed in place. */
  function look(w: Watched): void {
    const { journal, shelf: rowsOfShelf } = w.box.disk;
    if (!journal) return;
    if (journal !== w.looked.journal) lookAtJournal(w, journal);
    const { shelf } = rowsOfShelf;
    if (shelf && shelf !== w.looked.shelf) lookAtShelf(w, shelf);
    const said = hub.books.running.get(w.box.site) ?? null;
    if (said !== w.looked.said)
      must(said === null || w.ran.has(said), 'running is reported', () => `${w.box.site}: ${said}, ran ${[...w.ran]}`);
    w.looked = { journal, shelf, said };
  }
  function lookAtJournal(w: Watched, { last, acknowledged, epoch }: JournalRows): void {
    if (last !== w.looked.journal?.last)
      for (const entry of w.counters.read(rows(w), clock.now() - w.heardAt)) {
        trace.note(`${w.box.name} wrote`, JSON.stringify(entry));
        if (entry.kind === 'ended' && entry.pulses > 0) fills++;
        if (entry.kind === 'refused') refusals++;
      }
    for (let seq = w.acknowledged + 1; seq <= acknowledged; seq++)
      must(
        hub.committed(w.box.site, epoch, seq, w.hashes[seq] ?? ''),
        'acknowledged is committed',
        () => `${w.box.name} entry ${seq}`,
      );
    w.acknowledged = acknowledged;
  }
  function lookAtShelf(w: Watched, { running: now, newest }: Shelf): void {
    if (now === null) return;
    must(newest >= w.newest, 'never an older one', () => `newest ${w.newest} became ${newest}`);
    must(!hub.poisoned.has(now), 'never an older one', () => `runs the poisoned ${now}`);
    must(!w.left.has(now), 'never an older one', () => `runs ${now} again`);
    for (const one of w.ran) if (one > now) w.left.add(one);
    w.ran.add(now);
    w.newest = newest;
  }

  const identities = SITES.slice(0, sites).map((site) => newIdentity(`box-${site}`));
  const hub = simHub({
    clock,
    random: random.part('hub'),
    broker,
    trace,
    sites: SITES.slice(0, sites),
    signatures,
    sealKeys: new Map(SITES.slice(0, sites).map((site, i) => [site, identities[i]?.seal.publicKey ?? ''])),
  });
  const boxes = SITES.slice(0, sites).map((site, i): Watched => {
    const own = random.part(site);
    const limits = new Map<string, number>();
    const yard = simYard({
      clock,
      random: own.part('yard'),
      hoses: hosesOf(site),
      tanks: [`${site}-t`],
      armed: (order) =>
        check(() => {
          const open = openFillOf(rows(w), site, order.hose);
          must(
            open?.stopAtPulses === order.stopAtPulses,
            'durable before armed',
            () => `${order.hose} ${open?.stopAtPulses}`,
          );
          limits.set(order.hose, open?.limitPulses ?? 0);
        }),
      flowed: (hose, drawn) =>
        check(() => {
          const most = (limits.get(hose) ?? 0) + MOST_LAG;
          must(drawn <= most, 'within the limit', () => `${hose} gave ${drawn} pulses of ${most}`);
        }),
    });
    const crowd = people({ clock, random: own.part('people'), yard, site });
    const box = simBox({
      name: site,
      site,
      clock,
      random: own.part('box'),
      broker,
      trace,
      disk: emptyDisk(() => 'ok'),
      yard,
      signatures,
      identity: identities[i] as ReturnType<typeof newIdentity>,
      seen: (_terminal, screen) => crowd.see(screen),
      settled: () => {
        check(() => look(w));
        strikeIfDue(w);
      },
      heard: (_box, kind, payload) => heard(w, kind, payload),
      wrote(journal) {
        for (let seq = w.hashes.length; seq <= journal.last; seq++)
          w.hashes[seq] = journal.entries[seq - journal.anchor - 1]?.hash ?? '';
      },
      struck: (_box, fate) => struck(w, fate),
      pinCompared: (_box, driver) =>
        check(() => {
          const last = rows(w).entries.findLast((row) => {
            const entry = entryIn(row.payload);
            return entry.kind === 'pin' && entry.driver === driver;
          });
          const entry = last && entryIn(last.payload);
          must(entry?.kind === 'pin' && entry.step === 'attempt', 'attempt before compare', () => `${site} ${driver}`);
        }),
      fault: (_box, error) =>
        fail('no fault of the program', error instanceof Error ? (error.stack ?? error.message) : String(error)),
      stir: () => {
        stirred = true;
      },
    });
    const w: Watched = {
      box,
      counters: new Counters(site),
      people: crowd,
      limits,
      ran: new Set(),
      left: new Set(),
      pending: faults.filter((f) => f.box === i),
      newest: 0,
      acknowledged: 0,
      looked: { journal: undefined, shelf: undefined, said: null },
      hashes: [''],
      heardAt: START,
      untold: 0,
      striking: undefined,
    };
    return w;
  });

  function heard(w: Watched, kind: string, payload: string): void {
    if (kind === 'time') w.heardAt = clock.now();
    if (kind !== 'usage' || w.box.refused) return;
    // Its form is looked at by the box.
    const message = JSON.parse(payload) as UsageMessage;
    for (const t of message.totals) {
      if (t.site === w.box.site) continue;
      w.counters.hears(t);
    }
  }
  function struck(w: Watched, fate: Fate): void {
    if (w.striking) world.cover(w.striking, statesOf(w.box));
    w.striking = undefined;
    if (fate === 'cutLost' || fate === 'cutKept') world.cut(w, { counters: false, hoses: true, forMs: 20_000 });
  }
  function strikeIfDue(w: Watched): void {
    const now = clock.now() - START;
    // They are in the order of their moments.
    if (w.pending.length === 0 || (w.pending[0]?.at ?? 0) > now) return;
    const states = statesOf(w.box);
    const due = w.pending.findIndex((f) => f.at <= now && f.state !== undefined && states.includes(f.state));
    if (due < 0) return;
    const [fault] = w.pending.splice(due, 1);
    if (fault) clock.after(1, () => strike(w, fault));
  }
  function strike(w: Watched, fault: Fault): void {
    if (healing) return;
    trace.note('fault', `${fault.kind} ${w.box.name} ${statesOf(w.box).join(',')}`);
    inflict(world, w, fault);
  }

  const world: World = {
    clock,
    random: random.part('world'),
    hub,
    broker,
    trace,
    boxes,
    began: START,
    lasting: 0,
    cover(kind, states) {
      for (const state of states) covered.set(`${kind}|${state}`, (covered.get(`${kind}|${state}`) ?? 0) + 1);
    },
    release: (kind) => hub.release(kind, simFleet(++edition)),
    stopCard: () => hub.stopCard(world.random.pick(Object.values(CARDS)), `stop-${trace.lines}`),
    cut(w, { counters, hoses, forMs }) {
      w.box.die('power');
      // What runs on while the valves fall is counted before the counters forget.
      if (hoses) w.box.yard.powerGone(false);
      if (counters && w.box.disk.journal) {
        // What came after the last durable count goes with the counter's memory: nobody can tell how much it was.
        const known = JSON.parse(rows(w).state.get('fills') ?? '{"counts":{}}') as { counts: Record<string, number> };
        for (const h of w.box.yard.hoses.values()) w.untold += Math.abs(h.count - (known.counts[h.id] ?? 0));
      }
      if (counters) w.box.yard.powerGone(true);
      clock.after(forMs, () => w.box.boot());
    },
    lift(w) {
      w.box.lift((block) => BLOCKS[block].lifted === 'person');
    },
  };
  let healing = false;
  for (const w of boxes) {
    w.box.boot();
    for (const f of w.pending) if (f.state === undefined) clock.after(f.at, () => strike(w, f));
    w.pending = w.pending.filter((f) => f.state !== undefined);
    const person = () => {
      world.lift(w);
      clock.after(LOOK_MS, person);
    };
    clock.after(LOOK_MS, person);
  }
  world.release('good');

  let leaps = 0;
  const until = async (at: number) => {
    // The clock must stand still while promises run: what takes no time in the world takes none here.
    while (!failure && clock.now() < at) {
      if (stirred) {
        stirred = false;
        for (let i = 0; i < 40; i++) await undefined;
      }
      if (!clock.leap()) break;
      leaps++;
      options.each?.(world);
    }
  };
  await until(START + days * 86_400_000);
  if (!failure) {
    healing = true;
    trace.note('all is mended');
    Object.assign(broker.faults, { loss: 0, twice: 0, unruly: false, slowMs: 20 });
    Object.assign(hub.faults, { down: false, crashBeforeCommit: 0, crashBeforeAck: 0 });
    broker.away(false);
    for (const w of boxes) {
      w.people.stop();
      w.pending = [];
      Object.assign(w.box, { lineDown: false, stuck: undefined, offset: 0 });
      w.box.fates.length = 0;
      w.box.yard.mend();
    }
    world.release('good');
    for (
      const last = clock.now() + HEAL_MS;
      !failure && clock.now() < last && !(world.lasting === 0 && boxes.every(isHome));
    )
      await until(Math.min(last, clock.now() + 30 * 60_000));
    // What has come home must stay there.
    await until(clock.now() + HOME_MS);
    if (!failure) for (const w of boxes) check(() => atTheEnd(w));
  }

  function isHome({ box }: Watched): boolean {
    const { journal, shelf } = box.disk;
    const running = hub.books.running.get(box.site);
    return (
      box.alive &&
      journal?.acknowledged === journal?.last &&
      shelf.shelf?.running === hub.wanted &&
      running === hub.wanted
    );
  }
  function atTheEnd(w: Watched): void {
    w.looked = { journal: undefined, shelf: undefined, said: null };
    look(w);
    const { box } = w;
    must(box.alive, 'all comes home', () => `${box.name} is off`);
    const mine = rows(w);
    must(mine.acknowledged === mine.last, 'all comes home', () => `${box.name} ${mine.acknowledged} of ${mine.last}`);
    const there = hub.books.journals.get(`${box.site}/${mine.epoch}`);
    for (const row of mine.entries)
      must(there?.get(row.seq)?.hash === row.hash, 'all comes home', () => `${box.name} entry ${row.seq}`);
    // What a restored office lacks and the box no longer keeps is said to be lost: then nobody can add up.
    const whole = (hub.books.lost.get(`${box.site}/${mine.epoch}`)?.size ?? 0) === 0;
    const office = whole ? pulsesAtOffice(hub, box.site, (hose) => box.yard.hoses.get(hose)?.resets !== 0) : undefined;
    const running = box.disk.shelf.shelf?.running;
    must(running === hub.wanted, 'running is reported', () => `${box.name} runs ${running}, wanted ${hub.wanted}`);
    must(hub.books.running.get(box.site) === running, 'running is reported', () => `${box.name} in the end`);
    const again = openMemoryJournal({ ...box.disk, fate: () => 'ok' }, { box: mine.box, newEpoch: () => '' });
    must(again.ok && again.value.verify().ok, 'the chain holds', () => box.name);
    const kept = JSON.parse(mine.state.get('fills') ?? '{"open":[]}') as { open: unknown[] };
    must(kept.open.length === 0, 'the chain holds', () => `${box.name} keeps ${kept.open.length} fills open`);
    for (const h of office ? box.yard.hoses.values() : []) {
      const told = office?.get(h.id) ?? [0];
      const off = Math.min(...told.map((sum) => Math.abs(sum - h.counted)));
      must(
        off <= w.untold,
        'quantity is pulses',
        () => `${h.id} ${told.join(' or ')} of ${h.counted}, ${w.untold} untold`,
      );
    }
  }

  return {
    seed,
    digest: trace.digest(),
    siteDays: sites * days,
    leaps,
    faults,
    covered,
    fills,
    refusals,
    failure,
  };
}
