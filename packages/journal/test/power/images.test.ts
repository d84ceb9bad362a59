import { createHash } from 'node:crypto';
import { existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { putDown, type Told, toldBy, wrongIn } from './check.ts';
import { booksOf, deedsOf } from './deeds.ts';
import { apply, type Effort, emptyDisk, imagesOf, unsynced } from './disk.ts';
import { type Op, RECORD, recordingOf } from './recording.ts';
import { builtChild, SKIPPED, STRACE, underStrace } from './strace.ts';

/**
 * Every power cut of a run that was recorded from the real program: strace writes down each write, sync, truncation, creation and removal that SQLite
 * makes of the journal's files, with their bytes; the disk of `disk.ts` builds every image that a cut may leave; the journal is opened on each.
 * FILLWRIGHT_IMAGES multiplies how many are drawn at random.
 */
const MORE = Number(process.env.FILLWRIGHT_IMAGES ?? 1);
const DEEDS = 36 * Math.ceil(Math.sqrt(MORE));
const FAILED_SYNCS = Array.from({ length: 4 * MORE }, (_, i) => 2 + Math.floor((i * 60) / (4 * MORE)));
/** Calls that are looked at after a sync that failed. */
const AFTERMATH = 60 * Math.min(3, MORE);
const EFFORT: Effort = { exhaustive: 8, samples: 4 * MORE };
// In memory where there is such a place: thousands of images are opened, and none of them needs a real disk.
const PLACE = existsSync('/dev/shm') ? '/dev/shm' : tmpdir();

let child = { file: '', remove: () => {} };
let folder = '';
beforeAll(async () => {
  folder = mkdtempSync(join(PLACE, 'journal-images-'));
  if (STRACE) child = await builtChild();
});
afterAll(() => {
  child.remove();
  rmSync(folder, { recursive: true, force: true });
});

const deeds = deedsOf(DEEDS);
const books = booksOf(deeds);
const seeded = (seed: number) => {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 32;
  };
};

/** What a child does in a folder, as it left it where it is not the first. */
async function recorded(name: string, more: readonly string[] = [], how = 'stop', first = true): Promise<Op[]> {
  const at = join(folder, name);
  if (first) putDown(at, new Map());
  const before = readdirSync(at);
  const args = [child.file, at, String(DEEDS), how];
  const ended = await underStrace([...RECORD, ...more], join(folder, `${name}.calls`), args);
  return recordingOf(ended.lines, at, before);
}

interface Survey {
  readonly images: number;
  readonly wrong: readonly string[];
}

interface Where {
  /** Only from this call on. */
  readonly from?: number;
  /** So many wrong images are enough. */
  readonly enough?: number;
}

/** Cuts the power at every place of a recording and opens what is left. */
function survey(
  ops: readonly Op[],
  effort: Effort,
  { from = 0, enough = Number.POSITIVE_INFINITY }: Where = {},
): Survey {
  const random = seeded(7);
  const disk = emptyDisk();
  const marks: string[] = [];
  const seen = new Set<string>();
  const wrong: string[] = [];
  const at = join(folder, 'image');
  const cut = (i: number, told: Told, where: string): void => {
    if (i < from) return;
    for (const image of imagesOf(disk, effort, random)) {
      if (wrong.length >= enough) return;
      const hash = createHash('sha256').update(`${told.opened} ${told.done}`);
      for (const [name, bytes] of [...image].sort()) hash.update(`${name} ${bytes.length} `).update(bytes);
      const key = hash.digest('base64');
      if (seen.has(key)) continue;
      seen.add(key);
      putDown(at, image);
      const found = wrongIn(at, books, told);
      if (found !== undefined) wrong.push(`${where}: ${found}`);
    }
  };
  for (const [i, op] of ops.entries()) {
    // Between two syncs the unsynced writes only grow: the cut before a sync has all images of the cuts before it.
    const ends = op.op === 'sync' || op.op === 'syncFolder' || op.op === 'failedSync' || op.op === 'mark';
    if (ends && unsynced(disk) > 0) cut(i, toldBy(marks), `before call ${i} (${op.op})`);
    apply(disk, op);
    if (op.op === 'mark') {
      marks.push(op.text);
      cut(i, toldBy(marks), `after '${op.text}'`);
    }
  }
  return { images: seen.size, wrong };
}

describe.skipIf(!STRACE)(`every image that a power cut may leave${SKIPPED}`, () => {
  it('holds what was reported, whole, and nothing that was not asked for', async () => {
    const ops = await recorded('run');
    const kinds = (op: Op['op']): number => ops.filter((o) => o.op === op).length;
    console.log(`${ops.length} calls: ${kinds('write')} writes, ${kinds('sync')} syncs, ${kinds('size')} truncations`);
    const { images, wrong } = survey(ops, EFFORT);
    console.log(`${images} images of ${DEEDS} deeds`);
    expect(wrong).toEqual([]);
    // Held alone, the log needs no file of shared memory, which would be written behind the back of any recording.
    const files = new Set(ops.flatMap((op) => ('name' in op ? [op.name] : [])));
    expect([...files].sort()).toEqual(['journal.db', 'journal.db-journal', 'journal.db-wal']);
    expect(images).toBeGreaterThan(DEEDS * 20);
    expect([kinds('create'), kinds('unlink'), kinds('size')].every((n) => n > 2)).toBe(true);
  }, 3_600_000);

  it('the check itself can fail: with one kind of sync taken out of the record, what was reported is lost', async () => {
    const ops = await recorded('run');
    const without = (drop: (op: Op) => boolean): number =>
      survey(
        ops.filter((op) => !drop(op)),
        { exhaustive: 6, samples: 2 },
        { enough: 1 },
      ).wrong.length;
    expect(without((op) => op.op === 'sync' && op.name.endsWith('-wal'))).toBeGreaterThan(0);
    expect(without((op) => op.op === 'sync' && op.name.endsWith('.db'))).toBeGreaterThan(0);
    expect(without((op) => op.op === 'syncFolder')).toBeGreaterThan(0);
  }, 3_600_000);

  // What a failed sync should have written is in the kernel's memory, clean, and on the disk or not, whatever is synced later.
  for (const then of ['mend', 'die'] as const)
    it(`also after a sync that failed, when the box ${then === 'mend' ? 'mends itself' : 'is killed and starts anew'}`, async () => {
      let [images, refused] = [0, 0];
      for (const when of FAILED_SYNCS) {
        const inject = ['-e', `inject=fsync:error=EIO:when=${when}`];
        const ops = await recorded(`failed-${when}`, inject, then);
        const marks = ops.filter((op) => op.op === 'mark' && op.text.startsWith('refused')).length;
        refused += marks;
        if (then === 'die' && marks > 0) ops.push(...(await recorded(`failed-${when}`, [], 'mend', false)));
        const from = ops.findIndex((op) => op.op === 'failedSync');
        if (from < 0) continue;
        const found = survey(ops.slice(0, from + AFTERMATH), { exhaustive: 3, samples: MORE }, { from });
        images += found.images;
        expect(found.wrong, `fsync ${when} failed`).toEqual([]);
      }
      console.log(`${then}: ${refused} refusals of ${FAILED_SYNCS.length} failed syncs, ${images} images`);
      expect(refused).toBeGreaterThan(0);
    }, 3_600_000);

  it('also after the folder could not be synced, which names a log begun anew', async () => {
    const syncs = (await recorded('run')).filter((op) => op.op === 'sync' || op.op === 'syncFolder');
    const folders = syncs.flatMap((op, i) => (op.op === 'syncFolder' ? [i + 1] : []));
    let images = 0;
    for (const when of MORE > 1 ? folders : folders.slice(-2)) {
      const ops = await recorded(`folder-${when}`, ['-e', `inject=fsync:error=EIO:when=${when}`], 'mend');
      const found = survey(ops, { exhaustive: 2, samples: 1 }, { from: Math.floor(ops.length / 2), enough: 1 });
      images += found.images;
      expect(found.wrong, `fsync ${when} failed`).toEqual([]);
    }
    console.log(`${folders.length} syncs of the folder, ${images} images`);
    expect(folders.length).toBeGreaterThan(3);
  }, 3_600_000);
});
