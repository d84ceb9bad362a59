import type { Fleet } from '@fillwright/core/fleet';
import type { DifferenceReply, ExpectationReply, ReachRow } from '@fillwright/wire';

/** What is asked of the thread that works reach out. Days since 1970-01-01. */
export type Question =
  | { readonly kind: 'difference'; readonly today: number; readonly before: Fleet; readonly after: Fleet }
  | { readonly kind: 'expectations'; readonly today: number; readonly fleet: Fleet }
  | {
      readonly kind: 'reach';
      readonly today: number;
      readonly fleet: Fleet;
      readonly site: string | null;
      readonly driver: string | null;
      readonly vehicle: string | null;
    };

export type AnswerTo = {
  readonly difference: DifferenceReply;
  readonly expectations: readonly ExpectationReply[];
  readonly reach: readonly ReachRow[];
};
