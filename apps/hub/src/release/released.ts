import type { Fleet } from '@fillwright/core/fleet';
import { readFleet } from '../draft/rows.ts';
import type { Tx } from '../store/database.ts';

/** Releases as fleets; they never change, so the few used last are kept in memory. */
export interface Released {
  /** Undefined where there is no such release. */
  fleet(tx: Tx, fleet: string, number: number): Promise<Fleet | undefined>;
  newest(tx: Tx, fleet: string): Promise<number | undefined>;
}

const KEPT = 6;

export function openReleased(): Released {
  const kept = new Map<string, Fleet>();
  return {
    async fleet(tx, fleet, number) {
      const key = `${fleet}/${number}`;
      let value = kept.get(key);
      kept.delete(key);
      if (!value) {
        const row = await tx.row<{ version: number }>('select version from release where fleet = $1 and number = $2', [
          fleet,
          number,
        ]);
        if (!row) return undefined;
        value = await readFleet(tx, fleet, row.version);
      }
      kept.set(key, value);
      for (const oldest of kept.keys()) {
        if (kept.size <= KEPT) break;
        kept.delete(oldest);
      }
      return value;
    },
    async newest(tx, fleet) {
      const row = await tx.row<{ number: number | null }>(
        'select max(number) as number from release where fleet = $1',
        [fleet],
      );
      return row?.number ?? undefined;
    },
  };
}
