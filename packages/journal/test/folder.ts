import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Problem, Result } from '@fillwright/core/errors';
import { onTestFinished } from 'vitest';
import { type Journal, type JournalOptions, openJournal } from '../src/index.ts';

/** A folder of its own and what removes it. */
export function freshFolderFor(): [folder: string, remove: () => void] {
  const folder = mkdtempSync(join(tmpdir(), 'journal-'));
  return [folder, () => rmSync(folder, { recursive: true, force: true })];
}

/** A folder of its own that goes when the test ends. */
export function freshFolder(): string {
  const [folder, remove] = freshFolderFor();
  onTestFinished(remove);
  return folder;
}

export const options = (path: string, more: Partial<JournalOptions> = {}): JournalOptions => ({
  path,
  box: 'box-1',
  newEpoch: () => 'epoch-1',
  ...more,
});

export function value<T>(result: Result<T, Problem>): T {
  if (result.ok) return result.value;
  throw new Error(`${result.error.code} ${result.error.cause} ${result.error.found ?? ''}`);
}

export function code(result: Result<unknown, Problem>): string {
  return result.ok ? 'ok' : result.error.code;
}

export const open = (path: string, more: Partial<JournalOptions> = {}): Journal =>
  value(openJournal(options(path, more)));

export const text = (payload: Uint8Array): string => Buffer.from(payload).toString('utf8');
