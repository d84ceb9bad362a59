import { type Policy, stopCredentials } from '@fillwright/core/decide';
import type { Logger } from 'pino';
import type { Clock } from '../clock.ts';
import type { SiteRecord } from '../facts/record.ts';
import type { SiteTime } from '../office/time.ts';
import type { Run } from '../runner/run.ts';
import { type Checked, checkBundle, type Expected } from './check.ts';
import { confirmed, fellBack, startedAgain, switched, worthless } from './shelf.ts';
import type { BundleStore } from './store.ts';

export interface ReleasesOptions {
  readonly store: BundleStore;
  readonly record: SiteRecord;
  readonly time: SiteTime;
  readonly world: Clock;
  readonly log: Logger;
  readonly expected: Expected;
  readonly stopped: () => boolean;
  readonly openRun: (first: Checked, policy: () => Policy) => Run;
  /** Another bundle runs now. */
  readonly running: () => void;
}

/** Which bundle runs: the first, the next when the yard is quiet, the last good one when a new one does not stand. */
export interface Releases {
  readonly checked: Checked | undefined;
  /** With what urgent stops refuse. */
  readonly policy: Policy | undefined;
  readonly run: Run | undefined;
  /** Begins with what lies on the shelf. */
  start(): void;
  /** A checked bundle has come and lies on the shelf. */
  here(next: Checked): void;
  /** Takes the waiting bundle if the yard is quiet. */
  settle(): void;
  /** Everything up to `seq` is stored at the office. */
  stored(seq: number): void;
  stopsChanged(): void;
  close(): void;
}

/** So long without a fault under a new bundle counts as well as the office's word: common practice, no source. */
const HEALTHY_MS = 10 * 60_000;

export function openReleases(options: ReleasesOptions): Releases {
  const { store, record, time, world, log } = options;
  let checked: Checked | undefined;
  let policy: Policy | undefined;
  let run: Run | undefined;
  let waiting: Checked | undefined;
  let confirmAt: number | undefined;
  let callOff = () => {};

  function stopsChanged(): void {
    if (checked) policy = stopCredentials(checked.policy, record.stops.numbers);
  }

  /** Lets `next` be what the box runs; false when that cannot be written. */
  function shelve(next: Checked): boolean {
    const { revision, issuedAt } = next.bundle;
    const kept = store.keep(switched(store.shelf(), revision, time.clock.now()));
    if (!kept.ok) log.error({ code: kept.error.code, found: kept.error.found }, kept.error.cause);
    else record.releaseStops(issuedAt);
    return kept.ok;
  }

  /** From now on `next` is decided by; what runs takes it, or begins with it. */
  function use(next: Checked): void {
    checked = next;
    waiting = undefined;
    stopsChanged();
    if (run) run.take(next, 'a new release');
    else run = options.openRun(next, () => policy ?? next.policy);
    tryOut(next.bundle.revision);
    options.running();
  }

  /** A new bundle is confirmed when the office has what was written under it, or after a while without a fault. */
  function tryOut(revision: number): void {
    if (store.shelf().trialStarts === null) return;
    confirmAt = record.journal.last();
    callOff();
    callOff = world.after(HEALTHY_MS, () => {
      if (!options.stopped() && store.shelf().running === revision) confirm();
    });
  }
  function confirm(): void {
    confirmAt = undefined;
    store.keep(confirmed(store.shelf()));
  }

  function fromShelf(revision: number | null): Checked | undefined {
    const text = revision === null ? undefined : store.get(revision);
    const found = text && checkBundle(text, options.expected, 'shelf');
    if (found && !found.ok) log.error({ revision, code: found.error.code }, found.error.cause);
    return found?.ok ? found.value : undefined;
  }

  function fallBack(why: string): void {
    const { running } = store.shelf();
    store.keep(fellBack(store.shelf(), time.clock.now(), why));
    log.warn({ left: running, running: store.shelf().running }, why);
  }

  const releases: Releases = {
    get checked() {
      return checked;
    },
    get policy() {
      return policy;
    },
    get run() {
      return run;
    },
    start() {
      store.keep(startedAgain(store.shelf()));
      if (worthless(store.shelf())) fallBack('The box fell over under it before it was confirmed.');
      let first = fromShelf(store.shelf().running);
      if (!first && store.shelf().before !== null) {
        fallBack('It can no longer be read.');
        first = fromShelf(store.shelf().running);
      }
      if (first) use(first);
      const next = fromShelf(store.shelf().waiting);
      if (next) releases.here(next);
    },
    here(next) {
      if (next.bundle.revision <= store.shelf().newest) return;
      waiting = next;
      releases.settle();
    },
    settle() {
      const next = waiting;
      if (!next || (run && !run.quiet)) return;
      // Taking it settles again: by then it waits no more.
      waiting = undefined;
      if (shelve(next)) use(next);
    },
    stored(seq) {
      if (confirmAt !== undefined && seq >= confirmAt) confirm();
    },
    stopsChanged,
    // A box that is told to stop does not live on for the sake of a trial.
    close: () => callOff(),
  };
  return releases;
}
