import type { Settings } from '@fillwright/core/fleet';
import type { Verdict } from '@fillwright/core/reach';
import type { Part } from '../data/findings-message.ts';
import type { Here, Place } from './here.ts';
import type { Names } from './names.ts';
import type { Told } from './told.ts';

/** What the worker is asked: who can draw at one site, who at one minute of the week, whether the expectations hold, or what changes for whom since a release (null: since nothing),
 * about one allowance alone or all. */
export type Ask =
  | { readonly kind: 'here'; readonly today: number; readonly place: Place }
  | {
      readonly kind: 'names';
      readonly today: number;
      readonly place: Place;
      readonly hose: string;
      readonly minute: number;
    }
  | { readonly kind: 'expectations'; readonly today: number }
  | { readonly kind: 'change'; readonly today: number; readonly since: number | null; readonly about: string | null };

/** The worker holds the fleet: it hears parts of it first, then what is asked. */
export interface ToReach {
  readonly settings: Settings;
  readonly part?: Part;
  readonly ask?: Ask;
}

/** Any number of `progress`, then one of the others. */
export type FromReach =
  | { readonly kind: 'progress'; readonly done: number; readonly of: number }
  | { readonly kind: 'here'; readonly here: Here }
  | { readonly kind: 'names'; readonly names: Names }
  | { readonly kind: 'expectations'; readonly verdicts: ReadonlyMap<string, Verdict> }
  | { readonly kind: 'change'; readonly told: Told }
  | { readonly kind: 'failed'; readonly sentence: string };
