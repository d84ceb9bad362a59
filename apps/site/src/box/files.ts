import {
  chmodSync,
  closeSync,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
  writeSync,
} from 'node:fs';
import { dirname, join } from 'node:path';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';

/** Small files of the box that must be whole after a power cut, and that only its own account may read. */

const OWNER_ONLY = 0o600;

export function openFolder(path: string): Result<string, Problem> {
  try {
    mkdirSync(path, { recursive: true, mode: 0o700 });
    return ok(path);
  } catch (error) {
    return err(problem('FW-903', { at: { in: path }, found: String(error) }));
  }
}

/** Writes beside, syncs, renames: after a power cut the file is the old one or the new one. */
export function writeWhole(path: string, text: string): Result<void, Problem> {
  const beside = `${path}.new`;
  try {
    const file = openSync(beside, 'w', OWNER_ONLY);
    try {
      chmodSync(beside, OWNER_ONLY);
      writeSync(file, text);
      fsyncSync(file);
    } finally {
      closeSync(file);
    }
    renameSync(beside, path);
    syncFolder(dirname(path));
    return ok(undefined);
  } catch (error) {
    return err(
      problem('FW-601', { cause: 'A file of this box cannot be written.', at: { in: path }, found: String(error) }),
    );
  }
}

export function removeFile(path: string): void {
  if (!existsSync(path)) return;
  rmSync(path);
  syncFolder(dirname(path));
}

/** The text, or undefined where there is no such file. @throws when it is there and cannot be read. */
export function readWhole(path: string): string | undefined {
  return existsSync(path) ? readFileSync(path, 'utf8') : undefined;
}

function syncFolder(path: string): void {
  const folder = openSync(path, 'r');
  try {
    fsyncSync(folder);
  } finally {
    closeSync(folder);
  }
}

export const inFolder = (dataDir: string, name: string): string => join(dataDir, name);
