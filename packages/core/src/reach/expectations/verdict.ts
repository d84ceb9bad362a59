import type { DecisionRequest, RuleCode } from '../../decide/index.ts';
import type { Unread } from './sentence.ts';

/** A point at which a sentence is false, as a request that `decide` answers so. */
export interface Counterexample {
  readonly driver: string | null;
  readonly vehicle: string | null;
  readonly site: string;
  readonly hose: string;
  /** By the wall of the site: days since 1970-01-01, minute of that day. */
  readonly day: number;
  readonly minute: number;
  readonly request: DecisionRequest;
  /** Microlitres that it is approved for; 0 is refused. */
  readonly limit: number;
  /** The rule that decided, and the record to mend. */
  readonly rule: RuleCode;
  readonly mend: { readonly table: string; readonly id: string } | null;
}

export type Verdict =
  | { readonly verdict: 'holds' }
  /** Its dates and times lie outside the days that are looked at. */
  | { readonly verdict: 'idle' }
  | ({ readonly verdict: 'unread' } & Unread)
  | {
      readonly verdict: 'broken';
      readonly counterexample: Counterexample;
      /** Where each of several is meant: how many it is false for, of how many, and some of them by id. */
      readonly failing: { readonly count: number; readonly of: number; readonly ids: readonly string[] } | null;
    };
