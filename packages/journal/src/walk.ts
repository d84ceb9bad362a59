import { err, ok, type Problem, type Result } from '@fillwright/core/errors';
import type Database from 'better-sqlite3';
import { entryHash, sealOf } from './chain.ts';
import type { Head } from './head.ts';
import { readHead } from './head.ts';
import { brokenAt, brokenRow } from './trouble.ts';

/** One entry as it was appended. */
export interface Entry {
  /** From 1, without gaps. */
  readonly seq: number;
  /** The instant that the appender gave, ms UTC. */
  readonly atMs: number;
  readonly payload: Uint8Array;
  /** SHA-256 over the previous hash, seq, instant and payload; 64 hex digits. */
  readonly hash: string;
}

export interface EntryRow {
  seq: number;
  at: number;
  payload: Buffer;
  hash: Buffer;
}

export const entryOf = (row: EntryRow): Entry => ({
  seq: row.seq,
  atMs: row.at,
  payload: bytesOf(row.payload),
  hash: bytesOf(row.hash).toString('hex'),
});

// A damaged row can come back with another type than its table declares; it must still be readable.
const bytesOf = (found: unknown): Buffer => (Buffer.isBuffer(found) ? found : Buffer.from(String(found), 'utf8'));

/** The hash that entry `seq` must follow; undefined when the entry before it is not there. */
export function hashBefore(db: Database.Database, head: Head, seq: number): Buffer | undefined {
  if (seq - 1 === head.anchor) return head.anchorHash;
  const found = db.prepare<[number], { hash: unknown }>('SELECT hash FROM entry WHERE seq = ?').get(seq - 1)?.hash;
  return Buffer.isBuffer(found) ? found : undefined;
}

/** Whether `row` is entry `seq` and follows from `previous`. */
export function follows(row: EntryRow, seq: number, previous: Uint8Array): boolean {
  if (row.seq !== seq || !Number.isSafeInteger(row.at)) return false;
  if (!Buffer.isBuffer(row.payload) || !Buffer.isBuffer(row.hash)) return false;
  return entryHash(previous, seq, row.at, row.payload).equals(row.hash);
}

/** Walks the chain from entry `from` to the head: every entry there, none beyond, each following from the one before. */
export function walkChain(db: Database.Database, path: string, head: Head, from: number): Result<number, Problem> {
  const start = Math.max(from, head.anchor + 1);
  let previous = hashBefore(db, head, start);
  if (!previous) return err(brokenAt(path, start - 1, 'no such entry'));
  let seq = start;
  const rows = db.prepare<[number], EntryRow>('SELECT seq, at, payload, hash FROM entry WHERE seq >= ? ORDER BY seq');
  for (const row of rows.iterate(start)) {
    if (seq > head.last) return err(brokenAt(path, seq, 'an entry beyond the head'));
    if (row.seq !== seq) return err(brokenAt(path, seq, `entry ${row.seq} in its place`));
    if (!follows(row, seq, previous)) return err(brokenAt(path, seq, 'another hash than its content gives'));
    previous = row.hash;
    seq++;
  }
  if (seq <= head.last) return err(brokenAt(path, seq, 'no such entry'));
  if (!previous.equals(head.hash)) return err(brokenAt(path, head.last, 'another hash than the head has'));
  return ok(seq - start);
}

/** Everything that can be checked: the engine's own structure, the head, every state value, the whole chain. */
export function walkAll(db: Database.Database, path: string): Result<number, Problem> {
  // Pages that are still in memory would hide what has become of them on the disk.
  db.pragma('shrink_memory');
  const structure = db.pragma('integrity_check(1)', { simple: true });
  const read = readHead(db);
  if (!read?.sealed) return err(brokenRow(path, 'the head'));
  const chain = walkChain(db, path, read.head, 1);
  if (!chain.ok) return chain;
  for (const row of db.prepare<[], StateRow>('SELECT key, value, seal FROM state').iterate())
    if (!stateHolds(row)) return err(brokenRow(path, `the state value ${row.key}`));
  if (structure !== 'ok') return err(brokenRow(path, `the file (${String(structure)})`));
  return chain;
}

export interface StateRow {
  key: string;
  value: string;
  seal: Buffer;
}

export const stateHolds = (row: StateRow): boolean =>
  Buffer.isBuffer(row.seal) && typeof row.value === 'string' && stateSeal(row.key, row.value).equals(row.seal);

export const stateSeal = (key: string, value: string): Buffer => sealOf('state', key, value);
