import { err, ok, type Problem, ProblemError, problem, type Result } from '@fillwright/core/errors';
import type Database from 'better-sqlite3';
import { entryHash } from './chain.ts';
import { type DiskOptions, openDisk } from './disk.ts';
import { type Head, headWriter, newHead, readHead } from './head.ts';
import { brokenRow, problemOf } from './trouble.ts';
import {
  type Entry,
  type EntryRow,
  entryOf,
  follows,
  hashBefore,
  type StateRow,
  stateHolds,
  stateSeal,
  walkAll,
  walkChain,
} from './walk.ts';

/** The most bytes of one payload: 1 MiB. */
export const MAX_PAYLOAD_BYTES = 1_048_576;

/** How many acknowledged entries before the unacknowledged ones are checked at opening. */
const CHECKED_AT_OPEN = 1000;

export interface JournalOptions extends DiskOptions {
  /** The identity of this box; a journal of another box is refused (FW-607), so that a copied disk is noticed. */
  readonly box: string;
  /** The life of the box that the journal must belong to; a new journal takes it, or else what `newEpoch` gives. */
  readonly epoch?: string;
  readonly newEpoch: () => string;
}

export interface Appended {
  readonly seq: number;
  /** 64 hex digits. */
  readonly hash: string;
}

/** State values by key; undefined removes one. */
export type StateWrites = Readonly<Record<string, string | undefined>>;

/**
 * Opens the journal or begins a new one, takes it for this process alone, recovers what the last run left, and checks the chain of
 * everything not yet acknowledged and of the last 1,000 before it.
 * A journal that fails the check opens for reading: `refusal` says why nothing can be written (FW-602).
 * Errors: FW-605 held by another process, FW-607 of another box or epoch, FW-601 cannot be written, FW-602 no journal at all, FW-903 no folder.
 */
export function openJournal(options: JournalOptions): Result<Journal, Problem> {
  const opened = load(options);
  return opened.ok ? ok(new Journal(options, opened.value)) : opened;
}

interface Loaded {
  readonly db: Database.Database;
  readonly head: Head;
  readonly damage: Problem | undefined;
}

function load(options: JournalOptions): Result<Loaded, Problem> {
  const disk = openDisk(options);
  if (!disk.ok) return disk;
  const db = disk.value;
  try {
    let read = readHead(db);
    if (!read) {
      const head = newHead(options.box, options.epoch ?? options.newEpoch());
      headWriter(db)(head);
      read = { head, sealed: true };
    }
    const { head, sealed } = read;
    if (!sealed) return ok({ db, head, damage: brokenRow(options.path, 'the head') });
    if (head.box !== options.box) return refuse(db, options, head.box, options.box);
    if (options.epoch !== undefined && head.epoch !== options.epoch)
      return refuse(db, options, `${head.box}, epoch ${head.epoch}`, `${options.box}, epoch ${options.epoch}`);
    const chain = walkChain(db, options.path, head, head.acknowledged + 1 - CHECKED_AT_OPEN);
    return ok({ db, head, damage: chain.ok ? undefined : chain.error });
  } catch (error) {
    db.close();
    return err(problemOf(error, options.path, 'opening'));
  }
}

function refuse(
  db: Database.Database,
  options: JournalOptions,
  found: string,
  expected: string,
): Result<never, Problem> {
  db.close();
  return err(problem('FW-607', { at: { in: options.path }, found, expected }));
}

/**
 * An append-only log that survives power cuts, with a chain that shows damage, and a few state values beside it.
 * After a write that the disk refused nobody can say what is on it, so the journal then refuses every write until `reopen` has
 * looked. Reading methods throw a ProblemError when the disk cannot be read.
 */
export class Journal {
  readonly #options: JournalOptions;
  #db: Database.Database;
  #head: Head;
  #damage: Problem | undefined;
  #doubt: Problem | undefined;
  /** The state values as they were when the file was let go of and could not be opened again: who serves people goes on by them. */
  #remembered: ReadonlyMap<string, string> | undefined;
  /** How many entries the write that failed would have added. */
  #attempted = 0;

  constructor(options: JournalOptions, loaded: Loaded) {
    this.#options = options;
    this.#db = loaded.db;
    this.#head = loaded.head;
    this.#damage = loaded.damage;
  }

  get epoch(): string {
    return this.#head.epoch;
  }

  /** The hash of the last entry, 64 hex digits; before the first entry, one that only this box and epoch have. */
  get headHash(): string {
    return this.#head.hash.toString('hex');
  }

  /** Why nothing can be written, or undefined when all is well: FW-602 damaged (for good), FW-601 in doubt (until `reopen`). */
  get refusal(): Problem | undefined {
    return this.#damage ?? this.#doubt;
  }

  /** The last sequence number that was reported durable; 0 when none was. */
  last(): number {
    return this.#head.last;
  }

  /** Every entry up to here has been acknowledged. */
  acknowledged(): number {
    return this.#head.acknowledged;
  }

  /** The last entry that was trimmed (seq 0: none) and its hash, from which the kept chain goes on. */
  anchor(): Appended {
    return { seq: this.#head.anchor, hash: this.#head.anchorHash.toString('hex') };
  }

  /** Appends one entry. On the disk when it returns ok. `atMs`: whole ms UTC. */
  append(payload: Uint8Array | string, atMs: number): Result<Appended, Problem> {
    return this.setWith({}, payload, atMs);
  }

  /** Appends several entries and writes state values with them, all or none. */
  appendAll(
    items: readonly { readonly payload: Uint8Array | string; readonly atMs: number }[],
    writes: StateWrites = {},
  ): Result<Appended, Problem> {
    return this.#append(items, writes);
  }

  /** Appends one entry and writes state values, all or none. */
  setWith(writes: StateWrites, payload: Uint8Array | string, atMs: number): Result<Appended, Problem> {
    return this.#append([{ payload, atMs }], writes);
  }

  /** Writes a state value (undefined removes it). On the disk when it returns ok. */
  set(key: string, value: string | undefined): Result<void, Problem> {
    return this.setAll({ [key]: value });
  }

  /** Writes several state values, all or none. On the disk when it returns ok. */
  setAll(writes: StateWrites): Result<void, Problem> {
    return this.#write('setting a state value', 0, (db) => {
      writeState(db, writes);
      return { head: this.#head, value: undefined };
    });
  }

  /** A state value, or undefined. @throws ProblemError FW-602 when the value is not as it was written. */
  get(key: string): string | undefined {
    if (!this.#db.open && this.#remembered) return this.#remembered.get(key);
    return this.#read((db) => {
      const row = db.prepare<[string], StateRow>('SELECT key, value, seal FROM state WHERE key = ?').get(key);
      if (!row) return undefined;
      if (stateHolds(row)) return row.value;
      this.#damage ??= brokenRow(this.#options.path, `the state value ${key}`);
      throw new ProblemError(this.#damage);
    });
  }

  /**
   * At most `max` entries that come after `after` and are not acknowledged, in order. Each is checked against the chain first:
   * the list ends before one that does not hold, and `refusal` then says so.
   */
  unacknowledged(after: number, max: number): Entry[] {
    return this.#read((db) => {
      let seq = Math.max(after, this.#head.acknowledged) + 1;
      const list: Entry[] = [];
      let previous = hashBefore(db, this.#head, seq);
      for (const row of this.#rows(db, seq, this.#head.last, max)) {
        if (!previous || !follows(row, seq, previous)) {
          const chain = walkChain(db, this.#options.path, this.#head, seq);
          if (!chain.ok) this.#damage ??= chain.error;
          break;
        }
        list.push(entryOf(row));
        previous = row.hash;
        seq++;
      }
      return list;
    });
  }

  /** The entries `from` to `to`, both included, as they are on the disk: also those of a damaged journal, unchecked. */
  entries(from: number, to: number): Entry[] {
    return this.#read((db) => this.#rows(db, from, to, -1).map(entryOf));
  }

  /**
   * Notes that everything up to `seq` is stored elsewhere. A number at or below the present one changes nothing.
   * A number beyond the last entry (FW-607) means that somebody has entries which this journal has not: a copy, or an old disk.
   */
  acknowledge(seq: number): Result<number, Problem> {
    if (!Number.isSafeInteger(seq) || seq < 0)
      return err(problem('FW-801', { found: String(seq), expected: 'a sequence number' }));
    if (seq > this.#head.last) {
      const found = `acknowledged up to ${seq}`;
      return err(problem('FW-607', { at: { in: this.#options.path }, found, expected: `at most ${this.#head.last}` }));
    }
    if (seq <= this.#head.acknowledged) return this.refusal ? err(this.refusal) : ok(this.#head.acknowledged);
    return this.#write('acknowledging', 0, () => ({ head: { ...this.#head, acknowledged: seq }, value: seq }));
  }

  /**
   * Deletes entries from the oldest on, as long as they are acknowledged, at or below `upToSeq`, and older than `olderThanMs`;
   * the first that is not ends it. Returns how many went. The hash of the last one stays as anchor.
   */
  trim(upToSeq: number, olderThanMs: number): Result<number, Problem> {
    return this.#write('trimming', 0, (db) => {
      const bound = Math.min(upToSeq, this.#head.acknowledged);
      const young = db
        .prepare<[number, number], { seq: number }>(
          'SELECT seq FROM entry WHERE seq <= ? AND at >= ? ORDER BY seq LIMIT 1',
        )
        .get(bound, olderThanMs);
      const to = young ? young.seq - 1 : bound;
      if (to <= this.#head.anchor) return { head: this.#head, value: 0 };
      const anchorHash = hashBefore(db, this.#head, to + 1);
      if (!anchorHash) throw new ProblemError(brokenRow(this.#options.path, `entry ${to}`));
      db.prepare('DELETE FROM entry WHERE seq <= ?').run(to);
      return { head: { ...this.#head, anchor: to, anchorHash }, value: to - this.#head.anchor };
    });
  }

  /** Checks everything that is kept, afresh from the disk; gives the number of entries, or FW-602 with where it breaks. */
  verify(): Result<number, Problem> {
    try {
      const all = this.#read((db) => walkAll(db, this.#options.path));
      if (!all.ok) this.#damage ??= all.error;
      return all;
    } catch (error) {
      if (error instanceof ProblemError) return err(error.problem);
      throw error;
    }
  }

  /**
   * Closes the file, opens it again and compares it with what was last reported durable: `surplus` entries are on the disk although their append
   * was reported as failed (read them anew). If anything that was reported durable is gone, the journal is damaged (FW-602). Where it cannot be
   * opened (FW-601), state values are still given as they were; entries are not to be had until it can.
   */
  reopen(): Result<{ readonly surplus: number }, Problem> {
    if (this.#damage) return err(this.#damage);
    if (this.#db.open) {
      this.#remembered = this.#allState();
      this.#db.close();
    }
    const loaded = load({ ...this.#options, epoch: this.#head.epoch });
    if (!loaded.ok) {
      this.#fail(loaded.error);
      return loaded;
    }
    const believed = this.#head;
    const { db, head, damage } = loaded.value;
    this.#db = db;
    this.#remembered = undefined;
    this.#damage = damage ?? this.#lost(believed, head, db);
    if (this.#damage) return err(this.#damage);
    this.#head = head;
    this.#doubt = undefined;
    this.#attempted = 0;
    return ok({ surplus: head.last - believed.last });
  }

  /** Lets go of the file. */
  close(): void {
    this.#db.close();
  }

  #allState(): ReadonlyMap<string, string> | undefined {
    try {
      const rows = this.#db.prepare<[], StateRow>('SELECT key, value, seal FROM state').all();
      return new Map(rows.filter(stateHolds).map((row) => [row.key, row.value]));
    } catch (error) {
      problemOf(error, this.#options.path, 'reading');
      return undefined;
    }
  }

  #lost(believed: Head, head: Head, db: Database.Database): Problem | undefined {
    const at = hashBefore(db, head, believed.last + 1);
    const kept =
      head.last >= believed.last &&
      head.last <= believed.last + this.#attempted &&
      head.acknowledged >= believed.acknowledged &&
      at?.equals(believed.hash);
    if (kept) return undefined;
    return problem('FW-602', {
      cause: 'The journal is damaged: entries that were on the disk are gone or others have come.',
      at: { in: this.#options.path, row: believed.last },
      found: `last entry ${head.last}, acknowledged ${head.acknowledged}`,
      expected: `last entry ${believed.last}, acknowledged ${believed.acknowledged}`,
    });
  }

  #append(
    items: readonly { readonly payload: Uint8Array | string; readonly atMs: number }[],
    writes: StateWrites,
  ): Result<Appended, Problem> {
    const wrong = items.map(wrongItem).find((w) => w !== undefined);
    if (wrong) return err(wrong);
    return this.#write('appending', items.length, (db) => {
      let { last, hash } = this.#head;
      const insert = db.prepare('INSERT INTO entry (seq, at, payload, hash) VALUES (?, ?, ?, ?)');
      for (const item of items) {
        const payload = typeof item.payload === 'string' ? Buffer.from(item.payload, 'utf8') : item.payload;
        last++;
        hash = entryHash(hash, last, item.atMs, payload);
        insert.run(last, item.atMs, payload, hash);
      }
      writeState(db, writes);
      return { head: { ...this.#head, last, hash }, value: { seq: last, hash: hash.toString('hex') } };
    });
  }

  #write<T>(
    doing: string,
    adds: number,
    change: (db: Database.Database) => { readonly head: Head; readonly value: T },
  ): Result<T, Problem> {
    if (this.refusal) return err(this.refusal);
    const db = this.#db;
    try {
      const { head, value } = db
        .transaction(() => {
          const changed = change(db);
          if (changed.head !== this.#head) headWriter(db)(changed.head);
          return changed;
        })
        .immediate();
      this.#head = head;
      return ok(value);
    } catch (error) {
      const trouble = error instanceof ProblemError ? error.problem : problemOf(error, this.#options.path, doing);
      this.#attempted = adds;
      this.#fail(trouble);
      return err(trouble);
    }
  }

  #fail(trouble: Problem): void {
    if (trouble.code === 'FW-602') this.#damage ??= trouble;
    else this.#doubt ??= trouble;
  }

  #read<T>(look: (db: Database.Database) => T): T {
    if (!this.#db.open) throw new ProblemError(this.refusal ?? problem('FW-601', { found: 'the journal is closed' }));
    try {
      return look(this.#db);
    } catch (error) {
      if (error instanceof ProblemError) throw error;
      const trouble = problemOf(error, this.#options.path, 'reading');
      this.#fail(trouble);
      throw new ProblemError(trouble);
    }
  }

  #rows(db: Database.Database, from: number, to: number, max: number): EntryRow[] {
    return db
      .prepare<[number, number, number], EntryRow>(
        'SELECT seq, at, payload, hash FROM entry WHERE seq BETWEEN ? AND ? ORDER BY seq LIMIT ?',
      )
      .all(from, to, max);
  }
}

function wrongItem(item: { readonly payload: Uint8Array | string; readonly atMs: number }): Problem | undefined {
  if (!Number.isSafeInteger(item.atMs))
    return problem('FW-801', { at: { field: 'atMs' }, found: String(item.atMs), expected: 'whole milliseconds UTC' });
  const bytes = Buffer.byteLength(item.payload);
  if (bytes <= MAX_PAYLOAD_BYTES) return undefined;
  return problem('FW-801', {
    at: { field: 'payload' },
    found: `${bytes} bytes`,
    expected: `at most ${MAX_PAYLOAD_BYTES} bytes`,
  });
}

function writeState(db: Database.Database, writes: StateWrites): void {
  for (const [key, value] of Object.entries(writes)) {
    if (value === undefined) db.prepare('DELETE FROM state WHERE key = ?').run(key);
    else db.prepare('INSERT OR REPLACE INTO state VALUES (?, ?, ?)').run(key, value, stateSeal(key, value));
  }
}
