import { randomUUID } from 'node:crypto';
import type { Policy } from '@fillwright/core/decide';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import { type ZoneTable, zoneTable } from '@fillwright/core/units';
import type { PinsMessage } from '@fillwright/wire';
import { type Logger, pino } from 'pino';
import { identityIn, type Membership, membershipIn } from './box/identity.ts';
import type { Expected } from './bundles/check.ts';
import { openReleases, type Releases } from './bundles/releases.ts';
import { openBundles } from './bundles/store.ts';
import { type Clock, every, guarded, realClock, worldClock } from './clock.ts';
import { openRecord } from './facts/record.ts';
import { openSender } from './link/sender.ts';
import { openWire, type Wire } from './link/wire.ts';
import { openOffice } from './office/office.ts';
import { openReporter, type ReportFacts, stateOf } from './office/report.ts';
import { openSiteTime } from './office/time.ts';
import { openPage, type Page } from './page/server.ts';
import { type SiteView, viewOf } from './page/view.ts';
import { pinKeeper } from './pins/keeper.ts';
import { credentialName } from './runner/deciding.ts';
import { openRun, type YardMaker } from './runner/run.ts';
import { VERSION } from './version.ts';

export interface SiteOptions {
  readonly dataDir: string;
  readonly yard: YardMaker;
  /** Of the terminal's page; 0 takes any that is free. */
  readonly port?: number;
  /** The page is for the box itself: only its own machine reaches it unless another address is named. */
  readonly host?: string;
  readonly clock?: Clock;
  readonly random?: () => number;
  readonly randomId?: () => string;
  readonly log?: Logger;
  /** A yard without an office, for practice. */
  readonly practice?: boolean;
  /** PINs of a practice yard, sealed to the key that is given. */
  readonly practicePins?: (sealKey: string) => PinsMessage;
  readonly maxJournalBytes?: number;
  readonly cutOffAfterMs?: number;
  /** A fault of the program, with every hose closed: the process should end and be started anew. */
  readonly fault?: (error: unknown) => void;
}

export interface RunningSite {
  /** Of the terminal's page. */
  readonly url: string;
  view(): SiteView;
  /** Ends what flows, writes it down, says goodbye. */
  stop(): Promise<void>;
}

const REOPEN_MS = 20_000;
const TIDY_MS = 10 * 60_000;

/**
 * Starts the box in a data folder. Errors: FW-606 it has not joined, FW-605 another process holds the folder, FW-607 the journal is of another
 * box, FW-602 it is damaged, FW-903 the folder, FW-901 the port.
 */
export async function startSite(options: SiteOptions): Promise<Result<RunningSite, Problem>> {
  const { dataDir, random = Math.random, randomId = randomUUID } = options;
  const clock = guarded(options.clock ?? realClock(), (error) => fault(error));
  const world = worldClock(clock);
  const log = options.log ?? pino({ name: 'site' });
  const practice = options.practice ?? false;
  const identity = identityIn(dataDir, randomId);
  if (!identity.ok) return identity;
  const joined = membershipIn(dataDir);
  if (!joined.ok) return joined;
  if (!joined.value) return err(problem('FW-606', { at: { in: dataDir } }));
  const membership = joined.value;

  /** In doubt, every hose is closed first. */
  function fault(error: unknown): void {
    releases?.run?.halt();
    log.fatal(
      { error: error instanceof Error ? error.stack : String(error) },
      'a fault of the program; every hose is closed',
    );
    if (!options.fault) throw error;
    options.fault(error);
  }
  let releases: Releases | undefined;
  let wire: Wire | undefined;
  let page: Page | undefined;
  let stopped = false;

  // Until the journal is open, nobody knows by how much the office has moved the clock.
  let own = clock;
  const opened = openRecord({
    dataDir,
    box: identity.value.box,
    site: membership.site,
    now: () => own.now(),
    randomId,
    policy: () => releases?.policy,
    ...(options.maxJournalBytes === undefined ? {} : { maxBytes: options.maxJournalBytes }),
  });
  if (!opened.ok) return opened;
  const record = opened.value;
  const time = openSiteTime({
    clock,
    record,
    alone: practice,
    ...(options.cutOffAfterMs === undefined ? {} : { cutOffAfterMs: options.cutOffAfterMs }),
  });
  own = time.clock;
  const bundles = openBundles(dataDir);
  if (!bundles.ok) {
    record.journal.close();
    return bundles;
  }
  const store = bundles.value;
  const expected = expectedOf(membership);
  const pins = pinKeeper({
    identity: identity.value,
    journal: record.journal,
    tries: record.tries,
    rule: () => record.lockRule(),
  });

  const facts = (): ReportFacts => ({
    at: time.clock.now(),
    shelf: store.shelf(),
    expiresAt: releases?.checked?.bundle.expiresAt,
    cutOff: time.cutOff,
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
  const reporter = openReporter(world, facts, (state) => wire?.say('state', state) ?? false);
  const changed = () => {
    reporter.changed();
    page?.changed();
    if (!stopped) releases?.settle();
  };
  const office = openOffice({
    expected,
    store,
    record,
    pins,
    sender,
    time,
    clock: world,
    random,
    log,
    say: (kind, value) => wire?.say(kind, value) ?? false,
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
        yard: options.yard,
        program: VERSION,
        policy,
        cutOff: () => time.cutOff,
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

  const view = () =>
    viewOf({
      facts: facts(),
      membership,
      practice,
      run: releases?.run,
      checked: releases?.checked,
      refusal: record.journal.refusal,
      clockInDoubt: time.inDoubt,
      up: wire?.up ?? false,
    });
  const served = await openPage({
    port: options.port ?? 0,
    host: options.host ?? '127.0.0.1',
    clock: world,
    view,
    run: () => releases?.run,
  });
  if (!served.ok) {
    reporter.close();
    record.journal.close();
    return served;
  }
  page = served.value;
  releases.start();
  if (practice && options.practicePins)
    pins
      .take(options.practicePins(identity.value.seal.publicKey))
      .catch((error) => stopped || log.error({ error: String(error) }, 'PINs could not be taken'));
  if (!practice)
    wire = openWire({
      membership,
      box: identity.value.box,
      clock: world,
      random,
      log,
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
        page?.changed();
      },
      down: () => page?.changed(),
    });
  const offs = [
    every(world, REOPEN_MS, () => {
      if (record.journal.refusal?.code !== 'FW-601') return;
      if (record.reopen()) releases?.run?.reconcile();
      changed();
    }),
    every(world, TIDY_MS, () => {
      const days = Object.values(releases?.run?.state.plan.terminals ?? {}).map((t) => t.receiptDays);
      record.tidy(Math.max(1, ...days) + 1);
    }),
  ];

  return ok({
    url: page.url,
    view,
    async stop() {
      if (stopped) return;
      stopped = true;
      await releases?.run?.stop();
      releases?.close();
      for (const off of offs) off();
      reporter.close();
      office.close();
      sender.close();
      await wire?.close();
      await page?.close();
      record.journal.close();
    },
  });
}

const unknownOr = (policy: Policy | undefined, number: string): string =>
  policy ? credentialName(policy, number) : `unknown-${number.slice(-4)}`;

function expectedOf(membership: Membership): Expected {
  const known = new Map<string, ZoneTable>();
  return {
    officeKey: membership.officeKey,
    fleet: membership.fleet,
    site: membership.site,
    zones: (zone) => {
      const table = known.get(zone) ?? zoneTable(zone);
      known.set(zone, table);
      return table;
    },
  };
}
