import type { TableName } from '../fleet/index.ts';
import type { FindingContext } from './context.ts';

export type Severity = 'error' | 'warning' | 'note';

/** A record, or one field of it, that a finding speaks of. */
export interface RecordRef {
  readonly table: TableName;
  readonly id: string;
  readonly field?: string;
}

export interface Found {
  /** What it speaks of, the record to mend first. At least one. */
  readonly on: readonly RecordRef[];
  /** What is wrong here, in a sentence with names and figures. */
  readonly text: string;
  readonly facts?: Readonly<Record<string, string | number>>;
}

/**
 * One static check of a fleet. `error` keeps a draft from being released, `warning` needs a word, `note` needs nothing.
 * Codes: F1xx plumbing, F2xx roster and policy, F3xx texts and prices; a code is never reused.
 */
export interface Check {
  readonly code: `F${1 | 2 | 3}${number}`;
  readonly severity: Severity;
  readonly title: string;
  /** Why it matters. */
  readonly reason: string;
  readonly mend: string;
  /** The regulation or standard, 'common practice, no source', or 'follows from the data'. */
  readonly source: string;
  find(ctx: FindingContext): Iterable<Found>;
}

export const DATA = 'follows from the data';
export const PRACTICE = 'common practice, no source';

export const at = (table: TableName, id: string, field?: string): RecordRef =>
  field === undefined ? { table, id } : { table, id, field };
