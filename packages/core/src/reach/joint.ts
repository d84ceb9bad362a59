import { pairsOf, union } from './days.ts';
import type { HoseClass, PartyClass, Table } from './table.ts';

/** What stands together in two tables: things that neither of them can tell apart. */
export interface Joint<T> {
  readonly before: T | null;
  readonly after: T | null;
  /** Ids of the fleet's records. */
  readonly members: readonly string[];
}

function joint<T extends { readonly index: number }>(
  before: Iterable<[string, T]>,
  after: ReadonlyMap<string, T>,
): Joint<T>[] {
  const groups = new Map<number, Joint<T>>();
  const put = (id: string, b: T | null, a: T | null) => {
    const key = ((b?.index ?? -1) + 1) * 8_388_608 + ((a?.index ?? -1) + 1);
    let group = groups.get(key);
    if (!group) {
      group = { before: b, after: a, members: [] };
      groups.set(key, group);
    }
    (group.members as string[]).push(id);
  };
  const seen = new Set<string>();
  for (const [id, b] of before) {
    seen.add(id);
    put(id, b, after.get(id) ?? null);
  }
  for (const [id, a] of after) if (!seen.has(id)) put(id, null, a);
  return [...groups.values()];
}

export const jointParties = (
  before: ReadonlyMap<string, PartyClass>,
  after: ReadonlyMap<string, PartyClass>,
): Joint<PartyClass>[] => joint(before, after);

function hosesById(table: Table): Map<string, HoseClass> {
  const map = new Map<string, HoseClass>();
  for (const hose of table.hoses) for (const member of hose.members) map.set(member.row.id, hose);
  return map;
}

export const jointHoses = (before: Table, after: Table): Joint<HoseClass>[] =>
  joint(hosesById(before), hosesById(after));

/** A driver and a vehicle that a card names together, in either table, with the days on which one of those cards is good. */
export interface JointCouple {
  readonly driver: string;
  readonly vehicle: string;
  readonly before: readonly number[];
  readonly after: readonly number[];
}

export function jointCouples(before: Table, after: Table): JointCouple[] {
  const pairs = new Map<
    string,
    { driver: string; vehicle: string; before: readonly number[]; after: readonly number[] }
  >();
  const put = (table: Table, side: 'before' | 'after') => {
    for (const c of table.couples) {
      const key = `${c.driverId} ${c.vehicleId}`;
      let pair = pairs.get(key);
      if (!pair) {
        pair = { driver: c.driverId, vehicle: c.vehicleId, before: [], after: [] };
        pairs.set(key, pair);
      }
      pair[side] = union([...pairsOf(pair[side]), ...pairsOf(c.days)]);
    }
  };
  put(before, 'before');
  put(after, 'after');
  return [...pairs.values()];
}
