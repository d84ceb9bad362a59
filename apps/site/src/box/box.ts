import type { Policy } from '@fillwright/core/decide';
import { ok, type Problem, type Result } from '@fillwright/core/errors';
import { zoneTable } from '@fillwright/core/units';
import type { PinsMessage, SignedText } from '@fillwright/wire';
import type { Logger } from 'pino';
import type { Expected } from '../bundles/check.ts';
import { openReleases, type Releases } from '../bundles/releases.ts';
import type { BundleStore } from '../bundles/store.ts';
import { type Clock, every, guarded, worldClock } from '../clock.ts';
import { type JournalOpener, openRecord } from '../facts/record.ts';
import { openSender } from '../link/sender.ts';
import type { Wire, WireParts } from '../link/wire.ts';
import { openOffice } from '../office/office.ts';
import { HEARTBEAT_MS, openReporter, type ReportFacts, stateOf } from '../office/report.ts';
import { type Stick, watchSticks } from '../office/stick.ts';
import { openSiteTime } from '../office/time.ts';
import { openTrust } from '../office/trust.ts';
import { type Lessons, openLessons } from '../page/lessons.ts';
import { type SiteView, viewOf } from '../page/view.ts';
import { pinKeeper } from '../pins/keeper.ts';
import type { Verifying } from '../pins/verifier.ts';
import { credentialName } from '../runner/deciding.ts';
import { openRun, type Run, type YardMaker } from '../runner/run.ts';
import { VERSION } from '../version.ts';
import type { Identity, Membership } from './identity.ts';

/** What the page of a practice yard tells a learner. */
export interface PracticeWords {
  readonly pinOf: (driver: string) => string;
  readonly hint?: string;
}

/** What a box stands on. Everything that touches the world comes in here, so that a whole box runs in a test's time. */
export interface BoxParts {
  readonly identity: Identity;
  readonly membership: Membership;
  readonly openJournal: JournalOpener;
  readonly store: BundleStore;
  /** The line to the office; without it the box practises. */
  readonly openWire: ((parts: WireParts) => Wire) | undefined;
  readonly yard: YardMaker;
  readonly clock: Clock;
  readonly random: () => number;
  readonly randomId: () => string;
  readonly verifying: Verifying;
  /** What opens a text that the office signed; without it, Node's own crypto. */
  readonly openSigned?: ((text: SignedText, publicKey: string) => unknown) | undefined;
  readonly log: Logger;
  /** PINs of a practice yard, sealed to the key that is given. */
  readonly practicePins?: ((sealKey: string) => PinsMessage) | undefined;
  /** Of a practice yard: the PINs that its page may tell, and whom a learner may be at first. */
  readonly practiceWords?: PracticeWords | undefined;
  readonly cutOffAfterMs?: number | undefined;
  /** Linked, and for so long without a fresh word of what is wanted, the box says so. */
  readonly frozenAfterMs?: number | undefined;
  /** Where sticks turn up with files that somebody carried here. */
  readonly stickFolders?: readonly string[] | undefined;
  /** How often the box reports when nothing changes. */
  readonly reportEveryMs?: number | undefined;
  /** A fault of the program, told when every hose is closed. */
  readonly fault: (error: unknown) => void;
  /** What a terminal's page would show may have changed. */
  readonly changed: () => void;
}

/** The box without its disk, its sockets and its page. */
export interface Box {
  /** The world's clock, whose calls report what they throw. */
  readonly clock: Clock;
  readonly run: Run | undefined;
  /** Of a practice yard only. */
  readonly lessons: Lessons | undefined;
  view(): SiteView;
  /** Begins with what lies on the shelf, and dials the office. */
  start(): void;
  /** Ends what flows, writes it down, says goodbye. */
  stop(): Promise<void>;
  /** Lets go of the journal; the last thing, also of a box that was never started. */
  close(): void;
}

const REOPEN_MS = 20_000;
/** The office says afresh every six hours what is wanted; twelve times in vain is no chance: common practice, no source. */
const FROZEN_AFTER_MS = 3 * 86_400_000;
const TIDY_MS = 10 * 60_000;

/** Errors: what opening the journal gives. */
export function openBox(parts: BoxParts): Result<Box, Problem> {
  const { identity, membership, store, log, random } = parts;
  const clock = guarded(parts.clock, (error) => fault(error));
  const world = worldClock(clock);
  const practice = parts.openWire === undefined;
  const lessons = practice ? openLessons() : undefined;

  /** In doubt, every hose is closed first. */
  function fault(error: unknown): void {
    releases?.run?.halt();
    parts.fault(error);
  }
  let releases: Releases | undefined;
  let wire: Wire | undefined;
  let stick: Stick | undefined;
  let stopped = false;

  // Until the journal is open, nobody knows by how much the office has moved the clock.
  let own = clock;
  const opened = openRecord({
    box: identity.box,
    site: membership.site,
    now: () => own.now(),
    randomId: parts.randomId,
    policy: () => releases?.policy,
    openJournal: parts.openJournal,
  });
  if (!opened.ok) return opened;
  const record = opened.value;
  const time = openSiteTime({
    clock,
    record,
    alone: practice,
    ...(parts.cutOffAfterMs === undefined ? {} : { cutOffAfterMs: parts.cutOffAfterMs }),
  });
  own = time.clock;
  const trust = openTrust({
    given: { key: membership.officeKey, version: membership.officeKeyVersion },
    get: (key) => record.journal.get(key),
    set: (key, value) => record.journal.set(key, value).ok,
    now: () => time.clock.now(),
    opens: parts.openSigned,
  });
  const expected: Expected = {
    office: trust,
    fleet: membership.fleet,
    site: membership.site,
    zones: (zone) => zoneTable(zone),
  };
  const pins = pinKeeper({
    identity,
    journal: record.journal,
    tries: record.tries,
    rule: () => record.lockRule(),
    verifying: parts.verifying,
  });

  const cutOff = () => time.cutOff || (lessons?.officeAway ?? false);
  const facts = (): ReportFacts => ({
    at: time.clock.now(),
    shelf: store.shelf(),
    expiresAt: releases?.checked?.bundle.expiresAt,
    cutOff: cutOff(),
    frozen:
      !time.cutOff &&
      time.clock.now() - (record.noticeAt ?? Number.POSITIVE_INFINITY) > (parts.frozenAfterMs ?? FROZEN_AFTER_MS),
    unsent: sender.unsent,
    journal: {
      first: record.journal.anchor().seq + 1,
      last: record.journal.last(),
      acknowledged: record.journal.acknowledged(),
    },
    epoch: record.journal.epoch,
    version: VERSION,
    island: releases?.run?.state,
  });
  const sender = openSender({
    journal: record.journal,
    clock: world,
    random,
    say: (m) => wire?.say('entries', m) ?? false,
    sayLost: (m) => wire?.say('lost', m) ?? false,
  });
  const reporter = openReporter(
    world,
    facts,
    (state) => wire?.say('state', state) ?? false,
    parts.reportEveryMs ?? HEARTBEAT_MS,
  );
  const changed = () => {
    reporter.changed();
    parts.changed();
    if (stopped) return;
    releases?.settle();
    reopenLater();
  };
  let reopening = false;
  /** A journal that refuses is tried again until it takes writes. */
  function reopenLater(): void {
    if (reopening || stopped || record.journal.refusal?.code !== 'FW-601') return;
    reopening = true;
    world.after(REOPEN_MS, () => {
      reopening = false;
      if (stopped || record.journal.refusal?.code !== 'FW-601') return;
      if (record.reopen()) releases?.run?.reconcile();
      changed();
    });
  }
  const office = openOffice({
    expected,
    trust,
    store,
    record,
    pins,
    sender,
    time,
    clock: world,
    random,
    log,
    say: (kind, value) => wire?.say(kind, value) ?? false,
    got: (message) => stick?.got(message),
    nameOfCard: (number) => unknownOr(releases?.policy, number),
    bundleHere: (next) => releases?.here(next),
    stored: (seq) => releases?.stored(seq),
    stopsChanged: () => releases?.stopsChanged(),
    cardsStopped: (credentials) => releases?.run?.feed({ kind: 'cardStopped', credentials }),
    changed,
  });
  releases = openReleases({
    store,
    record,
    time,
    world,
    log,
    expected,
    stopped: () => stopped,
    openRun: (first, policy) =>
      openRun({
        first,
        record,
        pins,
        clock: time.clock,
        log,
        yard: parts.yard,
        program: VERSION,
        policy,
        cutOff,
        out: () => (time.inDoubt ? 'clock' : undefined),
        changed,
        journalled: () => sender.push(),
        fault,
      }),
    running: () => {
      sender.push();
      reporter.now();
    },
  });
  const offs: (() => void)[] = [];

  return ok({
    clock: world,
    lessons,
    get run() {
      return releases?.run;
    },
    view: () =>
      viewOf({
        facts: facts(),
        membership,
        practice,
        ...(practice ? parts.practiceWords : {}),
        lessons: lessons?.view(releases?.run) ?? [],
        run: releases?.run,
        checked: releases?.checked,
        refusal: record.journal.refusal,
        clockInDoubt: time.inDoubt,
        up: wire?.up ?? false,
      }),
    start() {
      releases?.start();
      if (parts.practicePins)
        pins
          .take(parts.practicePins(identity.seal.publicKey))
          .catch((error) => stopped || log.error({ error: String(error) }, 'PINs could not be taken'));
      wire = parts.openWire?.({
        clock: world,
        random,
        will: () => stateOf(facts(), 'gone'),
        heard: (message, retained) => {
          try {
            office.hear(message, retained);
          } catch (error) {
            fault(error);
          }
        },
        up: () => {
          sender.relinked();
          reporter.now();
          parts.changed();
        },
        down: () => parts.changed(),
      });
      if (!practice && parts.stickFolders)
        stick = watchSticks({
          folders: parts.stickFolders,
          expected,
          signKey: identity.sign.privateKey,
          clock: world,
          log,
          now: () => time.clock.now(),
          takenAt: () => record.carriedAt,
          taken: (at) => record.carried(at),
          hear: (message) => office.hear(message, true),
          state: () => stateOf(facts(), 'gone'),
          entries: sender.carry,
        });
      offs.push(
        every(world, TIDY_MS, () => {
          reopenLater();
          const days = Object.values(releases?.run?.state.plan.terminals ?? {}).map((t) => t.receiptDays);
          if (time.sure !== undefined) record.tidy(Math.max(1, ...days) + 1, time.sure);
        }),
      );
    },
    async stop() {
      if (stopped) return;
      stopped = true;
      await releases?.run?.stop();
      releases?.close();
      for (const off of offs) off();
      reporter.close();
      office.close();
      stick?.close();
      sender.close();
      await wire?.close();
    },
    close() {
      reporter.close();
      record.journal.close();
    },
  });
}

const unknownOr = (policy: Policy | undefined, number: string): string =>
  policy ? credentialName(policy, number) : `unknown-${number.slice(-4)}`;
