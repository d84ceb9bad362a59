import type { Settings, Stretch, TableName } from '@fillwright/core/fleet';
import type { Here, Place, Verdict } from '@fillwright/core/reach';
import type { Part } from '../data/findings-message.ts';
import type { Compared } from './compared.ts';
import type { Names } from './names.ts';
import type { Told } from './told.ts';

/** Records of which it can be asked whom they touch. */
export const TOUCHING = [
  'allowances',
  'drivers',
  'vehicles',
  'credentials',
  'hoses',
  'sites',
  'products',
] as const satisfies readonly TableName[];
export interface About {
  readonly table: (typeof TOUCHING)[number];
  readonly id: string;
}

/** The draft, a release by its number, or nothing. */
export type Version = 'draft' | number | null;

/** Two fleets, or two sites of one. */
export type Pair =
  | { readonly kind: 'fleets'; readonly before: Version; readonly after: Version }
  | { readonly kind: 'sites'; readonly of: Version; readonly first: string; readonly second: string };

/** What of a comparison is looked at; null is no matter. */
export interface Within {
  readonly driver: string | null;
  readonly vehicle: string | null;
  readonly department: string | null;
  readonly site: string | null;
  readonly product: string | null;
}

/** What of a comparison lies in one stretch of the week. */
export interface Stretched {
  readonly pair: Pair;
  readonly within: Within;
  readonly span: Stretch;
}

/** What the worker is asked: who can draw at one site, who at one minute of the week, whether the expectations hold, what changes for whom since a release (null: since nothing),
 * about one record alone or all, how any two compare, or who is behind one stretch of the week in which they differ. */
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
  | { readonly kind: 'change'; readonly today: number; readonly since: number | null; readonly about: About | null }
  | { readonly kind: 'compare'; readonly today: number; readonly pair: Pair; readonly within: Within }
  | ({ readonly kind: 'behind'; readonly today: number } & Stretched);

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
  | { readonly kind: 'compare'; readonly compared: Compared }
  | { readonly kind: 'behind'; readonly told: Told }
  | { readonly kind: 'failed'; readonly sentence: string };
