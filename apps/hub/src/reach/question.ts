import type { WhyCase } from '@fillwright/core/decide';
import type { Fleet } from '@fillwright/core/fleet';
import type { Narrowing, Place } from '@fillwright/core/reach';
import type { DifferenceReply, ExpectationReply, ReachRow, ReachWeekReply } from '@fillwright/wire';
import type { Told } from '../ledger/why-told.ts';

/** What is asked of the thread that works reach out. Days since 1970-01-01. */
export type Question =
  | ({
      readonly kind: 'difference';
      /** The two that are compared; null where the thread holds them since the last question. */
      readonly two: Two | null;
      readonly holds: string;
    } & Wish)
  | {
      readonly kind: 'week';
      readonly today: number;
      readonly fleet: Fleet;
      readonly place: Place;
      readonly hose: string | null;
      readonly product: string | null;
    }
  | { readonly kind: 'expectations'; readonly today: number; readonly fleet: Fleet }
  | { readonly kind: 'why'; readonly base: WhyCase; readonly wanted: number }
  | {
      readonly kind: 'reach';
      readonly today: number;
      readonly fleet: Fleet;
      readonly site: string | null;
      readonly driver: string | null;
      readonly vehicle: string | null;
    };

/** Two fleets, or two sites of one. */
export type Two =
  | { readonly of: 'fleets'; readonly before: Fleet; readonly after: Fleet }
  | { readonly of: 'sites'; readonly fleet: Fleet; readonly first: string; readonly second: string };

/** What of a difference is asked for: a part (null: all of it), and whether also its week and for whom nothing changes. */
export interface Wish {
  readonly today: number;
  readonly within: Within | null;
  readonly week: boolean;
}

/** What of a difference is looked at; null is no matter. */
export interface Within extends Omit<Narrowing, 'hoses' | 'span'> {
  readonly site: string | null;
}

export type AnswerTo = {
  readonly week: ReachWeekReply;
  readonly difference: DifferenceReply;
  readonly expectations: readonly ExpectationReply[];
  readonly reach: readonly ReachRow[];
  readonly why: Told;
};
