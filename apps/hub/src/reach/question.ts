import type { Fleet } from '@fillwright/core/fleet';
import type { Narrowing, Place } from '@fillwright/core/reach';
import type { DifferenceReply, ExpectationReply, ReachRow, ReachWeekReply } from '@fillwright/wire';

/** What is asked of the thread that works reach out. Days since 1970-01-01. */
export type Question =
  | {
      readonly kind: 'difference';
      readonly today: number;
      readonly before: Fleet;
      readonly after: Fleet;
      readonly within: Within | null;
      /** Also its week, and for whom nothing changes. */
      readonly week: boolean;
    }
  | {
      readonly kind: 'sites';
      readonly today: number;
      readonly fleet: Fleet;
      readonly first: string;
      readonly second: string;
      readonly within: Within | null;
      /** Also its week, and for whom nothing changes. */
      readonly week: boolean;
    }
  | {
      readonly kind: 'week';
      readonly today: number;
      readonly fleet: Fleet;
      readonly place: Place;
      readonly hose: string | null;
      readonly product: string | null;
    }
  | { readonly kind: 'expectations'; readonly today: number; readonly fleet: Fleet }
  | {
      readonly kind: 'reach';
      readonly today: number;
      readonly fleet: Fleet;
      readonly site: string | null;
      readonly driver: string | null;
      readonly vehicle: string | null;
    };

/** What of a difference is looked at; null is no matter. */
export interface Within extends Omit<Narrowing, 'hoses' | 'span'> {
  readonly site: string | null;
}

export type AnswerTo = {
  readonly sites: DifferenceReply;
  readonly week: ReachWeekReply;
  readonly difference: DifferenceReply;
  readonly expectations: readonly ExpectationReply[];
  readonly reach: readonly ReachRow[];
};
