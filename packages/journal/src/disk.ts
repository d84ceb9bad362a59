import { closeSync, existsSync, fsyncSync, openSync, readFileSync, writeSync } from 'node:fs';
import { dirname } from 'node:path';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import Database from 'better-sqlite3';
import { problemOf } from './trouble.ts';

export interface DiskOptions {
  /** The file; its folder must exist. */
  readonly path: string;
  /** The most bytes that the file may take (whole pages of 4,096); without it, as much as the disk has. */
  readonly maxBytes?: number;
  /** Pages in the write-ahead log after which it is copied into the file; 1,000 unless told. */
  readonly checkpointPages?: number;
}

const PAGE = 4096;

// `head` is one sealed row: who the journal belongs to, how far it goes, how far it is acknowledged, and the anchor that the
// first kept entry must follow. It is written in the transaction of every append, so a lost tail of `entry` shows.
const SCHEMA = `
  CREATE TABLE head (
    one INTEGER PRIMARY KEY CHECK (one = 1), box TEXT NOT NULL, epoch TEXT NOT NULL,
    last INTEGER NOT NULL, hash BLOB NOT NULL, acknowledged INTEGER NOT NULL,
    anchor INTEGER NOT NULL, anchor_hash BLOB NOT NULL, seal BLOB NOT NULL
  ) STRICT;
  CREATE TABLE entry (seq INTEGER PRIMARY KEY, at INTEGER NOT NULL, payload BLOB NOT NULL, hash BLOB NOT NULL) STRICT;
  CREATE TABLE state (key TEXT PRIMARY KEY, value TEXT NOT NULL, seal BLOB NOT NULL) STRICT, WITHOUT ROWID;
  PRAGMA user_version = 1;
`;

/**
 * Opens the file with an exclusive lock that ends with the process, durable on every commit (WAL, synchronous=FULL),
 * and makes the tables if it is new. A write-ahead log with a torn tail is cut back by the engine to its last whole commit.
 */
export function openDisk(options: DiskOptions): Result<Database.Database, Problem> {
  const folder = dirname(options.path);
  if (!existsSync(folder)) return err(problem('FW-903', { at: { in: folder }, found: 'no such folder' }));
  let db: Database.Database | undefined;
  try {
    db = new Database(options.path, { timeout: 0 });
    db.pragma(`page_size = ${PAGE}`);
    db.pragma('locking_mode = EXCLUSIVE');
    db.pragma('journal_mode = WAL');
    db.pragma('synchronous = FULL');
    db.pragma('fullfsync = ON');
    db.pragma('checkpoint_fullfsync = ON');
    db.pragma('cell_size_check = ON');
    db.pragma('trusted_schema = OFF');
    db.pragma(`wal_autocheckpoint = ${options.checkpointPages ?? 1000}`);
    if (options.maxBytes !== undefined)
      db.pragma(`max_page_count = ${Math.max(1, Math.floor(options.maxBytes / PAGE))}`);
    const open = db;
    open.exec('BEGIN EXCLUSIVE; COMMIT');
    rewriteLog(`${options.path}-wal`);
    const version = open.pragma('user_version', { simple: true });
    if (version !== 1) {
      const tables = open.prepare<[], { n: number }>('SELECT count(*) AS n FROM sqlite_schema').get()?.n;
      if (version !== 0 || tables !== 0) {
        open.close();
        return err(problem('FW-602', { at: { in: options.path }, found: 'a database that is no journal' }));
      }
      open.transaction(() => open.exec(SCHEMA)).exclusive();
    }
    syncFolder(folder);
    return ok(open);
  } catch (error) {
    db?.close();
    return err(problemOf(error, options.path, 'opening'));
  }
}

/**
 * Writes the log that an earlier run left once more, byte for byte where it stands, and syncs it. A sync that failed leaves pages in the kernel's
 * memory that count as written though the disk may not have them; no later sync writes them (Rebello et al., 'Can Applications Recover
 * from fsync Failures?', USENIX ATC 2020). What is read from them now is answered for from here on, so it must be on the disk first.
 */
function rewriteLog(path: string): void {
  if (!existsSync(path)) return;
  const fd = openSync(path, 'r+');
  try {
    const bytes = readFileSync(fd);
    for (let at = 0; at < bytes.length; ) at += writeSync(fd, bytes, at, bytes.length - at, at);
    fsyncSync(fd);
  } finally {
    closeSync(fd);
  }
}

// A new file, also a log begun anew, lasts only when the folder that names it is on the disk too. The engine syncs it and passes over an error.
function syncFolder(folder: string): void {
  const fd = openSync(folder, 'r');
  try {
    fsyncSync(fd);
  } finally {
    closeSync(fd);
  }
}
