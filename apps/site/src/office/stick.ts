import { readdirSync, statSync } from 'node:fs';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import {
  type AgainMessage,
  type FromSite,
  type GotMessage,
  type KeysMessage,
  type StateMessage,
  stickFile,
  stickNames,
  type ToSite,
  toSite,
} from '@fillwright/wire';
import { signValue } from '@fillwright/wire/keys';
import type { Logger } from 'pino';
import { inFolder, readWhole, writeWhole } from '../box/files.ts';
import type { Expected } from '../bundles/check.ts';
import { type Clock, every } from '../clock.ts';
import type { Carried } from '../link/sender.ts';

/** A stick is looked for so often. */
const LOOK_MS = 2_000;
/** So many entries go into one file: some 25 MB, a year of a small yard. */
const MOST_ENTRIES = 50_000;
const MOST_FILE_BYTES = 512 * 1024 * 1024;

export interface StickOptions {
  /** Where sticks turn up: folders, or what a stick is mounted at. One that is not there is no fault. */
  readonly folders: readonly string[];
  readonly expected: Expected;
  /** The box signs what it writes. */
  readonly signKey: string;
  readonly clock: Clock;
  readonly log: Logger;
  readonly now: () => number;
  /** When the file was made that was taken last. */
  readonly takenAt: () => number;
  readonly taken: (at: number) => void;
  readonly hear: (message: ToSite['messages'][number] | { readonly kind: 'keys'; readonly value: KeysMessage }) => void;
  readonly state: () => StateMessage;
  /** What the office lacks by the file that was taken last, and what it has not acknowledged yet, at most so many. */
  readonly entries: (most: number, again: readonly AgainMessage[]) => Carried;
}

export interface Stick {
  /** The box has said that it has something: it stands in what is written next. */
  got(message: GotMessage): void;
  close(): void;
}

/**
 * Where there is no link, people carry files. A file for this site is taken on the way that messages take, and answered beside it with the
 * journal; the answer is written anew as long as the stick is here and there is more to say.
 */
export function watchSticks(options: StickOptions): Stick {
  const { expected, log } = options;
  let got: readonly GotMessage[] = [];
  let again: readonly AgainMessage[] = [];
  /** Of each folder: the file that was seen there last, what came of it, and what was answered. */
  const seen = new Map<string, { readonly mark: string; readonly refused: Problem | undefined; answered: string }>();

  const look = () => {
    for (const folder of options.folders) {
      const path = inFolder(folder, stickNames.to(expected.site));
      const mark = markOf(folder, path, stickNames.to(expected.site));
      if (mark === undefined) {
        seen.delete(folder);
        continue;
      }
      let here = seen.get(folder);
      if (here?.mark !== mark) {
        const done = take(path);
        if (done.ok) log.info({ folder }, 'took a file that somebody carried here');
        else log.warn({ folder, code: done.error.code, found: done.error.found }, done.error.cause);
        here = { mark, refused: done.ok ? undefined : done.error, answered: '' };
        seen.set(folder, here);
      }
      const state = options.state();
      const essence = JSON.stringify([state.journal, state.running, state.delivered, state.refused, got, again]);
      if (essence !== here.answered && answer(folder, here.refused, state)) here.answered = essence;
    }
  };

  function take(path: string): Result<void, Problem> {
    const read = readTo(path, expected, (keys) => options.hear({ kind: 'keys', value: keys }));
    if (!read.ok) return read;
    const { at, messages } = read.value;
    // An old file could stop cards anew that a later release let draw again.
    if (at < options.takenAt()) return err(problem('FW-416', { at: { in: path }, found: new Date(at).toISOString() }));
    options.taken(at);
    again = messages.flatMap((m) => (m.kind === 'again' ? [m.value] : []));
    for (const message of messages) options.hear(message);
    return ok(undefined);
  }

  function answer(folder: string, refused: Problem | undefined, state: StateMessage): boolean {
    const { batches, lost, more } = options.entries(MOST_ENTRIES, again);
    const value: FromSite = {
      form: 'fillwright-from-site',
      fleet: expected.fleet,
      site: expected.site,
      at: options.now(),
      refused: refused ? { code: refused.code, cause: refused.cause } : null,
      state,
      got: [...got],
      entries: batches,
      // Left out where nothing is: an office that is older knows of no such field.
      ...(lost.length > 0 ? { lost } : {}),
      more,
    };
    const path = inFolder(folder, stickNames.from(expected.site));
    const written = writeWhole(path, JSON.stringify(signValue(value, options.signKey)));
    if (!written.ok) log.warn({ path, found: written.error.found }, 'the answer cannot be written beside the file');
    return written.ok;
  }

  const off = every(options.clock, LOOK_MS, look);
  return {
    got(message) {
      const same = (g: GotMessage) => JSON.stringify(g) === JSON.stringify(message);
      if (!got.some(same)) got = [...got, message].slice(-1_000);
    },
    close: off,
  };
}

/** What tells one file from the next in the same place; undefined where there is none, or the stick was pulled out. */
function markOf(folder: string, path: string, name: string): string | undefined {
  try {
    if (!readdirSync(folder).includes(name)) return undefined;
    const { mtimeMs, size, ino } = statSync(path);
    return size > MOST_FILE_BYTES ? undefined : `${mtimeMs} ${size} ${ino}`;
  } catch {
    return undefined;
  }
}

/** Errors: FW-417 not a file for a site, or cut short; FW-306 not signed by this office, or for another site. */
function readTo(path: string, expected: Expected, hearKeys: (keys: KeysMessage) => void): Result<ToSite, Problem> {
  try {
    const text = stickFile.safeParse(JSON.parse(readWhole(path) ?? ''));
    if (!text.success) return err(problem('FW-417', { at: { in: path } }));
    const { keys, ...signed } = text.data;
    if (keys) hearKeys(keys);
    const opened = expected.office.open(signed);
    if (opened === undefined)
      return err(
        problem('FW-306', { cause: 'The file is not signed by the office that this box joined.', at: { in: path } }),
      );
    const read = toSite.safeParse(opened);
    if (!read.success) return err(problem('FW-417', { at: { in: path }, found: read.error.issues[0]?.message ?? '' }));
    if (read.data.fleet !== expected.fleet || read.data.site !== expected.site)
      return err(
        problem('FW-306', { cause: 'The file is for another site.', at: { in: path }, found: read.data.site }),
      );
    return ok(read.data);
  } catch (error) {
    return err(problem('FW-417', { at: { in: path }, found: String(error) }));
  }
}
