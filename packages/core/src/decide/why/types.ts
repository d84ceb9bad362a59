import type { Fleet } from '../../fleet/index.ts';
import type { Decision, DecisionRequest, RuleCode, Used } from '../types.ts';

/** A request as it was decided, with everything that the site knew of what was drawn before. */
export interface WhyCase {
  readonly fleet: Fleet;
  readonly request: DecisionRequest;
  readonly usage: KnownUsage;
}

/** What was drawn before, as of the request's moment. */
export interface KnownUsage {
  /** By 'HOLDER ALLOWANCE', such as 'driver:ana day-crew'. */
  readonly used: Readonly<Record<string, Used>>;
  /** Last readings by 'VEHICLE KIND', such as 'lorry-1 odometer'. */
  readonly readings: Readonly<Record<string, number>>;
  readonly cutOff: boolean;
}

/** Who can make a change: the person at the terminal, whoever works on the draft, or whoever mends the site's link. */
export type Changer = 'person' | 'editor' | 'technician';

/** One thing that somebody could have changed. */
export type Change =
  | { readonly kind: 'hose'; readonly hose: string }
  | { readonly kind: 'time'; readonly at: number }
  | { readonly kind: 'pin' }
  | { readonly kind: 'answer'; readonly question: string; readonly answer: string }
  /** Presents a credential that names this driver or vehicle alone; `alike` others would do as well. */
  | {
      readonly kind: 'present';
      readonly table: 'drivers' | 'vehicles';
      readonly id: string;
      readonly number: string;
      readonly alike: number;
    }
  | { readonly kind: 'link' }
  /** Gives a holder an allowance that covers this product, site and minute. */
  | { readonly kind: 'give'; readonly table: 'drivers' | 'vehicles'; readonly id: string; readonly allowance: string }
  /** A field of a record: `to` is its new value, or what a list gains or loses. */
  | {
      readonly kind: 'field';
      readonly table: 'sites' | 'hoses' | 'credentials' | 'drivers' | 'vehicles' | 'allowances';
      readonly id: string;
      readonly field: string;
      readonly to: string | number | boolean | null;
    };

/** A smallest set of changes, with the decision that `decide` then gives. */
export interface Remedy {
  readonly changes: readonly Change[];
  readonly decision: Decision;
}

export interface Why {
  readonly decision: Decision;
  /** The rule that declined, or that set the limit. */
  readonly rule: RuleCode;
  /** Remedies of the least size within the search space; empty where none of up to `most` changes helps. */
  readonly remedies: readonly Remedy[];
}
