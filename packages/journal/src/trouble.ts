import { type Problem, problem } from '@fillwright/core/errors';
import Database from 'better-sqlite3';

const DAMAGE = /^SQLITE_(CORRUPT|NOTADB|FORMAT|MISMATCH|SCHEMA|ERROR|CONSTRAINT)/;
const HELD = /^SQLITE_(BUSY|LOCKED|PROTOCOL)/;

/** What an error of the storage engine or of the system means to the one who keeps the journal; anything else is our own fault and is thrown on. */
export function problemOf(error: unknown, path: string, while_: string): Problem {
  const at = { in: path, field: while_ };
  if (error instanceof Error && 'syscall' in error) return problem('FW-601', { at, found: error.message });
  if (!(error instanceof Database.SqliteError)) throw error;
  const found = `${error.code}: ${error.message}`;
  if (HELD.test(error.code)) return problem('FW-605', { at, found });
  return problem(DAMAGE.test(error.code) ? 'FW-602' : 'FW-601', { at, found });
}

/** The chain breaks at `seq`: the first entry that is missing, changed or does not follow from the one before. */
export function brokenAt(path: string, seq: number, found: string): Problem {
  return problem('FW-602', {
    cause: `The journal is damaged: its chain breaks at entry ${seq}.`,
    at: { in: path, row: seq },
    found,
    expected: 'every entry present, with the hash that follows from the one before',
  });
}

/** A row outside the chain (the head, a state value) does not match its own seal. */
export function brokenRow(path: string, row: string): Problem {
  return problem('FW-602', {
    cause: `The journal is damaged: ${row} does not match its seal.`,
    at: { in: path, row },
    found: 'a value that this program did not write',
  });
}
