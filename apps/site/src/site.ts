import { randomUUID } from 'node:crypto';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import { openJournal } from '@fillwright/journal';
import type { PinsMessage } from '@fillwright/wire';
import { type Logger, pino } from 'pino';
import { openBox, type PracticeWords } from './box/box.ts';
import { inFolder } from './box/files.ts';
import { identityIn, membershipIn } from './box/identity.ts';
import { openBundles } from './bundles/store.ts';
import { type Clock, realClock } from './clock.ts';
import { openWire } from './link/wire.ts';
import { openPage, type Page } from './page/server.ts';
import type { SiteView } from './page/view.ts';
import { stretched } from './pins/verifier.ts';
import type { YardMaker } from './runner/run.ts';

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
  readonly practiceWords?: PracticeWords;
  readonly maxJournalBytes?: number;
  readonly cutOffAfterMs?: number;
  /** Linked, and for so long without a fresh word of what is wanted, the box says so. */
  readonly frozenAfterMs?: number;
  /** Where a stick turns up with a file that somebody carried here; besides the folder `stick` in the data folder. */
  readonly stickDir?: string;
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

/**
 * Starts the box in a data folder. Errors: FW-606 it has not joined, FW-605 another process holds the folder, FW-607 the journal is of another
 * box, FW-602 it is damaged, FW-903 the folder, FW-901 the port.
 */
export async function startSite(options: SiteOptions): Promise<Result<RunningSite, Problem>> {
  const { dataDir, random = Math.random, randomId = randomUUID } = options;
  const log = options.log ?? pino({ name: 'site' });
  const practice = options.practice ?? false;
  const identity = identityIn(dataDir, randomId);
  if (!identity.ok) return identity;
  const joined = membershipIn(dataDir);
  if (!joined.ok) return joined;
  if (!joined.value) return err(problem('FW-606', { at: { in: dataDir } }));
  const membership = joined.value;
  const store = openBundles(dataDir);
  if (!store.ok) return store;
  let page: Page | undefined;

  const opened = openBox({
    identity: identity.value,
    membership,
    store: store.value,
    openJournal: (whose) =>
      openJournal({
        ...whose,
        path: inFolder(dataDir, 'journal.db'),
        ...(options.maxJournalBytes === undefined ? {} : { maxBytes: options.maxJournalBytes }),
      }),
    openWire: practice ? undefined : (parts) => openWire({ ...parts, membership, box: identity.value.box, log }),
    yard: options.yard,
    clock: options.clock ?? realClock(),
    random,
    randomId,
    verifying: stretched,
    log,
    practicePins: practice ? options.practicePins : undefined,
    practiceWords: options.practiceWords,
    cutOffAfterMs: options.cutOffAfterMs,
    frozenAfterMs: options.frozenAfterMs,
    stickFolders: [inFolder(dataDir, 'stick'), ...(options.stickDir === undefined ? [] : [options.stickDir])],
    fault(error) {
      log.fatal(
        { error: error instanceof Error ? error.stack : String(error) },
        'a fault of the program; every hose is closed',
      );
      if (!options.fault) throw error;
      options.fault(error);
    },
    changed: () => page?.changed(),
  });
  if (!opened.ok) return opened;
  const box = opened.value;
  const served = await openPage({
    port: options.port ?? 0,
    host: options.host ?? '127.0.0.1',
    clock: box.clock,
    view: box.view,
    run: () => box.run,
    ...(box.lessons ? { lessons: box.lessons } : {}),
  });
  if (!served.ok) {
    box.close();
    return served;
  }
  page = served.value;
  box.start();
  return ok({
    url: page.url,
    view: box.view,
    async stop() {
      await box.stop();
      await page?.close();
      box.close();
    },
  });
}
