import { decide, NO_USAGE, type Policy } from '@fillwright/core/decide';
import { type AnyRow, type Fleet, rowsOf, TABLE_NAMES } from '@fillwright/core/fleet';
import { plausibleAnswers } from './small-world.ts';

/** The fleet with some rows taken from another world, some gone. */
export function changedFleet(fleet: Fleet, other: Fleet, random: () => number): Fleet {
  const next: Record<string, unknown> = { ...fleet };
  for (const table of TABLE_NAMES) {
    const rows = new Map<string, AnyRow>(rowsOf(fleet, table));
    for (const id of [...rows.keys()]) {
      const row = rowsOf(other, table).get(id);
      if (row && random() < 0.25) rows.set(id, row);
      else if (random() < 0.04) rows.delete(id);
    }
    next[table] = rows;
  }
  return next as unknown as Fleet;
}

/** What a pair may draw at a point, by trying every way of presenting it. */
export function bruteAccess(policy: Policy, fleet: Fleet) {
  const ways = new Map<string, string[][]>();
  const cards = [...policy.cards].filter(([, card]) => card !== null);
  for (const [a] of cards) {
    for (const [b] of cards) {
      const [x, y] = [policy.cards.get(a), policy.cards.get(b)];
      if (!x || !y) continue;
      const drivers = new Set([x.driverId, y.driverId].filter((id) => id !== null));
      const vehicles = new Set([x.vehicleId, y.vehicleId].filter((id) => id !== null));
      if (drivers.size > 1 || vehicles.size > 1) continue;
      const key = `${[...drivers][0] ?? ''} ${[...vehicles][0] ?? ''}`;
      ways.set(key, [...(ways.get(key) ?? []), a === b ? [a] : [a, b]]);
    }
  }
  const answers = plausibleAnswers(fleet);
  return (pair: string, hose: string, site: string, at: number): number => {
    let most = 0;
    for (const credentials of ways.get(pair) ?? []) {
      const d = decide(policy, { site, hose, at, credentials, pin: 'right', answers }, NO_USAGE);
      if (d.approved) most = Math.max(most, d.limit);
    }
    return most;
  };
}
