import {
  type AnyRow,
  type Fleet,
  type Hose,
  type RowOf,
  rowsOf,
  type Site,
  TABLES,
  type TableName,
  unitOf,
  volumeWords,
} from '../fleet/index.ts';
import { faultsOfLayouts, type LayoutFaults } from '../island/index.ts';

/** What all checks share: the fleet and indexes of it, each made once when first asked for. */
export interface FindingContext {
  readonly fleet: Fleet;
  /** Days since 1970-01-01; undefined where no date is known, and then nothing is said of what is past. */
  readonly today: number | undefined;
  /** The rows of `table` whose reference `field` names `id`, each once. */
  citing<T extends TableName>(table: T, field: keyof RowOf<T> & string, id: string): readonly RowOf<T>[];
  /** Hoses in service at sites in service, whose site stands. */
  readonly liveHoses: readonly Hose[];
  readonly liveSites: readonly Site[];
  /** Hoses in service by site, for sites in service. */
  readonly liveHosesAt: ReadonlyMap<string, readonly Hose[]>;
  /** What is wrong with a terminal's own layouts; undefined where it has none. */
  layoutFaults(terminal: string): LayoutFaults | undefined;
  /** A record as a person would call it: 'tank “North 1”', 'hose 3 of “Upper yard”'. */
  called(table: TableName, id: string): string;
  /** A volume in the fleet's unit, rounded to a thousandth, such as '40 gal'. */
  volume(microlitres: number): string;
}

type Index = ReadonlyMap<string, readonly AnyRow[]>;

function indexBy(fleet: Fleet, table: TableName, field: string): Index {
  const index = new Map<string, AnyRow[]>();
  for (const row of rowsOf(fleet, table).values()) {
    const value = row[field];
    const ids = Array.isArray(value) ? new Set<string>(value) : typeof value === 'string' ? [value] : [];
    for (const id of ids) {
      const rows = index.get(id);
      if (rows) rows.push(row);
      else index.set(id, [row]);
    }
  }
  return index;
}

const NOTHING: readonly never[] = [];

export function contextOf(fleet: Fleet, today?: number): FindingContext {
  const indexes = new Map<string, Index>();
  const faults = new Map<string, LayoutFaults | undefined>();
  let look: ReturnType<typeof faultsOfLayouts> | undefined;
  const unit = unitOf(fleet.settings);
  const liveSites = [...fleet.sites.values()].filter((s) => s.active);
  const liveHosesAt = new Map<string, Hose[]>(liveSites.map((s) => [s.id, []]));
  for (const hose of fleet.hoses.values()) if (hose.active) liveHosesAt.get(hose.site)?.push(hose);
  return {
    fleet,
    today,
    liveSites,
    liveHosesAt,
    liveHoses: [...liveHosesAt.values()].flat(),
    citing: <T extends TableName>(table: T, field: string, id: string) => {
      const key = `${table}.${field}`;
      let index = indexes.get(key);
      if (!index) {
        index = indexBy(fleet, table, field);
        indexes.set(key, index);
      }
      return (index.get(id) ?? NOTHING) as unknown as readonly RowOf<T>[];
    },
    layoutFaults: (terminal) => {
      if (!faults.has(terminal)) {
        look ??= faultsOfLayouts(fleet, today ?? Number.MAX_SAFE_INTEGER);
        faults.set(terminal, look(terminal));
      }
      return faults.get(terminal);
    },
    called: (table, id) => called(fleet, table, id),
    volume: (v) => volumeWords(v, unit),
  };
}

function called(fleet: Fleet, table: TableName, id: string): string {
  const row = rowsOf(fleet, table).get(id);
  if (!row) return `${TABLES[table].one} “${id}”`;
  if (table === 'hoses') {
    const site = fleet.sites.get(String(row.site));
    return `hose ${row.number} of “${site?.name ?? row.site}”`;
  }
  if (table === 'credentials') return `${row.kind === 'keyed' ? 'keyed number' : row.kind} ${row.number || id}`;
  if (table === 'prices') return `the price of “${row.product}” from ${row.from}`;
  const label = [row.name, row.prompt, row.wish].find((v) => typeof v === 'string' && v !== '');
  return `${TABLES[table].one} “${label ?? id}”`;
}

/** Groups of two or more rows that have the same key; rows without a key stand alone. In the order of the rows. */
export function alike<R>(rows: Iterable<R>, key: (row: R) => string | undefined): R[][] {
  const groups = new Map<string, R[]>();
  for (const row of rows) {
    const k = key(row);
    if (k === undefined || k === '') continue;
    const group = groups.get(k);
    if (group) group.push(row);
    else groups.set(k, [row]);
  }
  return [...groups.values()].filter((g) => g.length > 1);
}

/** Text compared as people read it: without regard to case and to blanks. */
export const folded = (text: string): string => text.trim().replace(/\s+/g, ' ').toLowerCase();

/** At most five of a list, and how many more. */
export function listed(items: readonly string[]): string {
  const shown = items.slice(0, 5).join(', ');
  return items.length > 5 ? `${shown} and ${items.length - 5} more` : shown;
}
