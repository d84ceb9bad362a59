import type { Holder } from '../decide/index.ts';
import type { Days } from './days.ts';
import type { TermsList } from './terms-list.ts';

/** Holders that no rule can tell apart. */
export interface PartyClass {
  readonly index: number;
  readonly key: string;
  readonly members: readonly Holder[];
  readonly list: TermsList;
  readonly sites: Uint8Array | null;
  /** Days on which a credential of their own, naming nobody else, is good. */
  readonly days: Days;
  /** The days by number in the book. */
  readonly dayset: number;
  readonly capacity: number | null;
  /** They are asked a question that no answer satisfies, so nobody of them ever draws. */
  readonly mute: boolean;
}
