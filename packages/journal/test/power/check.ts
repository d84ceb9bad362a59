import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { openJournal } from '../../src/index.ts';
import { text } from '../folder.ts';
import { atOf, BOX, type Book, CHECKPOINT_PAGES, EPOCH, hashesTo, payloadOf } from './deeds.ts';
import type { Image } from './disk.ts';

/** What a process had been told when its power went. */
export interface Told {
  /** It was told that the journal is open. */
  readonly opened: boolean;
  /** The deeds that it was told of as done. */
  readonly done: number;
}

export function toldBy(marks: readonly string[]): Told {
  const done = marks.findLast((m) => m.startsWith('done '));
  return { opened: marks.includes('opened'), done: done === undefined ? 0 : Number(done.slice('done '.length)) };
}

export function putDown(folder: string, image: Image): void {
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder);
  for (const [name, bytes] of image) writeFileSync(join(folder, name), bytes);
}

/**
 * Opens the journal of a folder and says what is wrong with it, if anything: the book must be the one after the deeds that were told as done, or the
 * one after the deed under way, whole in every part; and it must take another entry and still have it.
 */
export function wrongIn(folder: string, books: readonly Book[], told: Told): string | undefined {
  const expected = books.slice(told.done, told.done + 2);
  const open = () =>
    openJournal({
      path: join(folder, 'journal.db'),
      box: BOX,
      newEpoch: () => 'another',
      checkpointPages: CHECKPOINT_PAGES,
    });
  const opened = open();
  if (!opened.ok) return `it does not open: ${opened.error.code} ${opened.error.found}`;
  const journal = opened.value;
  try {
    if (journal.refusal) return `it refuses: ${journal.refusal.code} ${journal.refusal.cause} ${journal.refusal.found}`;
    const whole = journal.verify();
    if (!whole.ok) return `it is not whole: ${whole.error.cause}`;
    const found: Book = { last: journal.last(), acknowledged: journal.acknowledged(), anchor: journal.anchor().seq };
    if (!expected.some((book) => same(book, found)))
      return `it is at ${JSON.stringify(found)} and not at one of ${JSON.stringify(expected)}`;
    if (journal.epoch !== EPOCH && (told.opened || found.last > 0)) return 'it began another life';
    if (journal.epoch !== EPOCH) return undefined;
    const entries = journal.entries(0, found.last + 10);
    if (entries.length !== found.last - found.anchor) return `it has ${entries.length} entries`;
    const hashes = hashesTo(found.last);
    for (const [i, entry] of entries.entries()) {
      const seq = found.anchor + 1 + i;
      const right = entry.seq === seq && entry.atMs === atOf(seq) && text(entry.payload) === payloadOf(seq);
      if (!right || entry.hash !== hashes[seq]) return `entry ${seq} is another`;
    }
    if (journal.headHash !== hashes[found.last]) return 'its head has another hash';
    const more = journal.append('after the cut', 1);
    if (!more.ok) return `it takes no more: ${more.error.code} ${more.error.found}`;
  } finally {
    journal.close();
  }
  return undefined;
}

const same = (a: Book, b: Book): boolean =>
  a.last === b.last && a.acknowledged === b.acknowledged && a.anchor === b.anchor;
