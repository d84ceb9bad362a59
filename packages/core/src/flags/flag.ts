import type { Fleet, TableName } from '../fleet/index.ts';
import type { Microlitres, ZoneTable } from '../units/index.ts';

/** One fill as the ledger knows it, with what was answered at the terminal. */
export interface FlagFill {
  readonly id: string;
  readonly site: string;
  readonly hose: string;
  readonly product: string;
  readonly driver: string | null;
  readonly vehicle: string | null;
  /** ms UTC. */
  readonly from: number;
  readonly to: number;
  readonly volume: Microlitres;
  /** What it was approved for. */
  readonly limit: Microlitres;
  /** As keyed, in the vehicle's own unit of distance or in hours; absent where none was asked. */
  readonly odometer?: number;
  readonly hours?: number;
}

/** Product that a meter counted while nobody was let in. */
export interface LooseFlow {
  readonly id: string;
  readonly site: string;
  readonly hose: string;
  readonly at: number;
  readonly volume: Microlitres;
}

export interface FlagInput {
  readonly fleet: Fleet;
  /** All fills of the span and of the weeks before it, from which habits are learnt; in any order. */
  readonly fills: readonly FlagFill[];
  readonly loose: readonly LooseFlow[];
  readonly zones: (zone: string) => ZoneTable;
  /** Only what happened from here on is flagged, ms UTC. */
  readonly since: number;
}

/** A thing that a flag speaks of: a fill of the ledger, or a record of the fleet. */
export interface FlagRef {
  readonly table: TableName | 'fills' | 'loose';
  readonly id: string;
}

export interface Found {
  /** The moment that it speaks of, ms UTC. */
  readonly at: number;
  /** The fill, vehicle or hose to look at first, and what else it speaks of. With the moment the first one names the flag. At least one. */
  readonly on: readonly FlagRef[];
  /** What is unusual here, in a sentence with names and figures. */
  readonly text: string;
  /** The figures on which it rests. Volumes in microlitres, spans in minutes unless the name says otherwise. */
  readonly evidence: Readonly<Record<string, string | number>>;
}

/** One way in which a fill can be unusual. A flag accuses nobody: it says what to look at. */
export interface FlagKind {
  /** G and two digits; a code is never reused. */
  readonly code: `G${number}`;
  readonly title: string;
  /** Why it is worth a look. */
  readonly reason: string;
  /** What to do next. */
  readonly next: string;
  /** The regulation, the standard, or 'common practice, no source'. */
  readonly source: string;
  find(history: History): Iterable<Found>;
}

/** What all kinds share: fills in order of time, by vehicle and by driver. */
export interface History extends FlagInput {
  readonly byVehicle: ReadonlyMap<string, readonly FlagFill[]>;
  readonly byDriver: ReadonlyMap<string, readonly FlagFill[]>;
  /** A volume in the fleet's unit, such as '40 gal'. */
  volumeText(ul: Microlitres): string;
  /** A record by name, such as 'vehicle “Lorry 4”'. */
  called(table: TableName, id: string): string;
  /** Minute of the site's local day at which a fill began. */
  minuteOf(fill: FlagFill): number;
}

export const PRACTICE = 'common practice, no source';
