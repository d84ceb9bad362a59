import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openJournal } from '../src/index.ts';
import { freshFolderFor, open, options, text, value } from './folder.ts';

/**
 * Crash images: what a power cut may leave on the disk, built from copies of both files at every append. With every commit synced, what an append
 * has reported is on the disk; what lies between two appends may be there in part. SQLite syncs the log before it copies pages
 * from it into the file, and the file before it starts the log anew (sqlite.org, 'Write-Ahead Logging'), which gives the legal images.
 */
interface Boundary {
  readonly db: Buffer;
  readonly wal: Buffer;
  /** The last sequence number reported durable, and what the state value must then be. */
  readonly durable: number;
}

const APPENDS = 36;
let folder = '';
let remove = () => {};
const boundaries: Boundary[] = [];

const read = (path: string): Buffer => (existsSync(path) ? readFileSync(path) : Buffer.alloc(0));
const payloadOf = (seq: number): string => `fill ${seq} ${'v'.repeat((seq * 37) % 300)}`;

beforeAll(() => {
  [folder, remove] = freshFolderFor();
  const path = join(folder, 'recorded.db');
  // A short log, so that it is copied into the file and begun anew several times within the run.
  const journal = open(path, { checkpointPages: 20 });
  const record = (durable: number) => boundaries.push({ db: read(path), wal: read(`${path}-wal`), durable });
  record(0);
  for (let seq = 1; seq <= APPENDS; seq++) {
    value(journal.setWith({ counter: String(seq) }, payloadOf(seq), seq));
    record(seq);
  }
  journal.close();
});

afterAll(() => remove());

/** Opens an image and gives its last entry, after checking that everything in it is whole. */
function recovered(db: Uint8Array, wal: Uint8Array): number {
  const path = join(folder, 'image.db');
  for (const name of [path, `${path}-wal`, `${path}-shm`]) rmSync(name, { force: true });
  writeFileSync(path, db);
  if (wal.length > 0) writeFileSync(`${path}-wal`, wal);
  const opened = openJournal(options(path));
  if (!opened.ok) throw new Error(`${opened.error.code} ${opened.error.found ?? opened.error.cause}`);
  const journal = opened.value;
  try {
    if (journal.refusal) throw new Error(`${journal.refusal.code} ${journal.refusal.cause}`);
    value(journal.verify());
    const last = journal.last();
    expect(journal.entries(1, 1000).map((e) => text(e.payload))).toEqual(
      Array.from({ length: last }, (_, i) => payloadOf(i + 1)),
    );
    // The state value was written with the entry: never one without the other.
    expect(journal.get('counter')).toBe(last === 0 ? undefined : String(last));
    return last;
  } finally {
    journal.close();
  }
}

/** A small seeded generator (a linear congruence, Numerical Recipes' constants). */
function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 32;
  };
}

const pairs = () => boundaries.slice(1).map((after, i) => ({ before: boundaries[i] as Boundary, after }));
/** A log begun anew has a new salt in its header of 32 bytes; its file keeps its length, so old frames stay behind the new ones. */
const begunAnew = (before: Buffer, after: Buffer): boolean => !before.subarray(0, 32).equals(after.subarray(0, 32));

/** Where two logs differ: from the first to behind the last byte. */
function changed(before: Buffer, after: Buffer): [from: number, to: number] {
  const at = (buffer: Buffer, i: number) => (i < buffer.length ? buffer[i] : -1);
  let from = 0;
  while (from < after.length && at(before, from) === at(after, from)) from++;
  let to = after.length;
  while (to > from && at(before, to - 1) === at(after, to - 1)) to--;
  return [from, to];
}

/** `before` with the bytes up to `cut` from `after`. */
function cutAt(before: Buffer, after: Buffer, cut: number): Buffer {
  return Buffer.concat([after.subarray(0, cut), before.subarray(cut)]);
}

/** `before` with those 512-byte sectors taken from `after` that `take` chooses. */
function mixed(before: Buffer, after: Buffer, take: () => boolean): Buffer {
  const image = Buffer.alloc(Math.max(before.length, after.length));
  before.copy(image);
  for (let at = 0; at < after.length; at += 512)
    if (take()) after.copy(image, at, at, Math.min(at + 512, after.length));
  return image;
}

describe('after a power cut', () => {
  it('the recorded run has longer logs, copies into the file and logs begun anew', () => {
    const kinds = pairs().map(({ before, after }) => {
      if (!after.db.equals(before.db)) return 'copied';
      return before.wal.length > 0 && begunAnew(before.wal, after.wal) ? 'begun anew' : 'longer';
    });
    for (const kind of ['longer', 'copied', 'begun anew'])
      expect(kinds.filter((k) => k === kind).length).toBeGreaterThan(2);
  });

  it('at an append boundary everything reported is there and nothing else', () => {
    for (const b of boundaries) expect(recovered(b.db, b.wal)).toBe(b.durable);
  });

  it('with a log cut at any place, what was reported before is there and the last entry is wholly absent', () => {
    const random = seeded(1);
    for (const { before, after } of pairs()) {
      const [from, to] = changed(before.wal, after.wal);
      const cuts = [from + 1, from + 24, to - 1, ...Array.from({ length: 3 }, () => from + random() * (to - from))];
      for (const cut of cuts)
        expect(recovered(before.db, cutAt(before.wal, after.wal, Math.floor(cut)))).toBe(before.durable);
    }
  });

  it('with any sectors of the new log missing, nothing reported is lost', () => {
    const random = seeded(2);
    for (const { before, after } of pairs()) {
      for (const share of [0.3, 0.9]) {
        const last = recovered(
          before.db,
          mixed(before.wal, after.wal, () => random() < share),
        );
        expect([before.durable, after.durable]).toContain(last);
      }
    }
  });

  it('in the middle of copying the log into the file, the log makes it whole', () => {
    const random = seeded(3);
    for (const { before, after } of pairs().filter((p) => !p.before.db.equals(p.after.db)))
      for (const share of [0, 0.1, 0.5, 0.9, 1])
        expect(
          recovered(
            mixed(before.db, after.db, () => random() < share),
            after.wal,
          ),
        ).toBe(after.durable);
  });

  it('the check itself can fail: without its log a file has lost what was reported', () => {
    const behind = boundaries.filter((b) => recovered(b.db, Buffer.alloc(0)) < b.durable);
    expect(behind.length).toBeGreaterThan(APPENDS / 2);
  });
});
