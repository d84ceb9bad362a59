import type { ChangeKind } from './tally.ts';

/** One point at which a change shows: who, where, when by the site's wall. */
export interface Witness {
  readonly driver: string | null;
  readonly vehicle: string | null;
  readonly hose: string;
  /** Days since 1970-01-01, and minute of that day. */
  readonly day: number;
  readonly minute: number;
  /** Microlitres; 0 is nothing. */
  readonly before: number;
  readonly after: number;
}

/** Ids of people or hoses, counted without being listed. */
export interface Names extends Iterable<string> {
  readonly size: number;
}

/** Who a group speaks of: drivers who come alone, vehicles that come alone, and drivers with vehicles. */
export interface Who {
  readonly driversAlone: Names;
  readonly vehiclesAlone: Names;
  readonly together: {
    readonly drivers: Names;
    readonly vehicles: Names;
    /** Somewhere at some time each of these drivers has the change with each of these vehicles; else each with some of them. */
    readonly each: boolean;
  };
}

/**
 * Everything that changed for one reason: the same kind and product, and the same deciding rules before and after. Beyond the points it is
 * worked out when first read, which must be before the next edit.
 */
export interface ChangeGroup {
  readonly kind: ChangeKind;
  readonly product: string;
  /** Reasons by index in the tables' book; -1 where nothing was or is open at all. */
  readonly whyBefore: number;
  readonly whyAfter: number;
  /** Points: (driver or nobody, vehicle or nobody, hose, day, minute) whose limit changed so. */
  readonly points: bigint;
  /** All with a part in it, alone or together. */
  readonly drivers: Names;
  readonly vehicles: Names;
  readonly who: Who;
  readonly sites: ReadonlySet<string>;
  readonly hoses: Names;
  /** Least and most microlitres before and after, over the group. */
  readonly before: readonly [number, number];
  readonly after: readonly [number, number];
  readonly witness: Witness;
}

export interface Difference {
  /** Largest first. */
  readonly groups: readonly ChangeGroup[];
  readonly points: Readonly<Record<ChangeKind, bigint>>;
  /** Points that were covered: every combination over the horizon. */
  readonly looked: bigint;
}

export interface Progress {
  readonly done: number;
  readonly of: number;
}
