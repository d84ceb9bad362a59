import { readdirSync } from 'node:fs';
import { ok, type Problem, type Result } from '@fillwright/core/errors';
import { type SignedText, signedText } from '@fillwright/wire';
import { z } from 'zod';
import { inFolder, openFolder, readWhole, removeFile, writeWhole } from '../box/files.ts';
import { emptyShelf, type Shelf } from './shelf.ts';

const shape = z.strictObject({
  running: z.int().nullable(),
  runningSince: z.int().nullable(),
  before: z.int().nullable(),
  waiting: z.int().nullable(),
  newest: z.int(),
  trialStarts: z.int().nullable(),
  refused: z.strictObject({ revision: z.int(), code: z.string(), cause: z.string() }).nullable(),
});

/** The shelf and its bundles on disk: bundles first, then the shelf that names them, then what nobody names is removed. */
export interface BundleStore {
  shelf(): Shelf;
  keep(shelf: Shelf): Result<void, Problem>;
  put(revision: number, text: SignedText): Result<void, Problem>;
  /** Undefined where it is gone or cannot be read. */
  get(revision: number): SignedText | undefined;
}

export function openBundles(dataDir: string): Result<BundleStore, Problem> {
  const folder = openFolder(inFolder(dataDir, 'bundles'));
  if (!folder.ok) return folder;
  const shelfPath = inFolder(folder.value, 'shelf.json');
  const pathOf = (revision: number) => inFolder(folder.value, `bundle-${revision}.json`);
  let shelf = readJson(shelfPath, shape) ?? emptyShelf;
  return ok({
    shelf: () => shelf,
    keep(next) {
      if (next === shelf) return ok(undefined);
      const written = writeWhole(shelfPath, JSON.stringify(next));
      if (!written.ok) return written;
      shelf = next;
      const named = [next.running, next.before, next.waiting].map((n) => `bundle-${n}.json`);
      for (const name of readdirSync(folder.value))
        if (name.startsWith('bundle-') && !named.includes(name)) removeFile(inFolder(folder.value, name));
      return written;
    },
    put: (revision, text) => writeWhole(pathOf(revision), JSON.stringify(text)),
    get: (revision) => readJson(pathOf(revision), signedText),
  });
}

function readJson<T>(path: string, as: z.ZodType<T>): T | undefined {
  try {
    const text = readWhole(path);
    return text === undefined ? undefined : as.parse(JSON.parse(text));
  } catch {
    return undefined;
  }
}
