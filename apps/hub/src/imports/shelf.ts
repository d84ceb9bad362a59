import { type Problem, problem } from '@fillwright/core/errors';
import type { RosterMapping } from '@fillwright/intake';
import type { Tx } from '../store/database.ts';

/** A file that was read and waits for somebody to take it into the draft. */
export interface Waiting {
  readonly id: string;
  readonly name: string;
  /** What was read (`RawIntake`) as JSON. */
  readonly raw: string;
  /** How a roster's columns are read; null for a workbook of ours. */
  readonly mapping: RosterMapping | null;
}

const TWO_HOURS_MS = 2 * 3_600_000;
const MOST_A_FLEET = 8;

/** Keeps it for two hours from `now` (ms UTC), and of a fleet the latest eight. */
export async function putAside(tx: Tx, fleet: string, w: Waiting, now: number): Promise<void> {
  await tx.rows(
    `insert into waiting_import (fleet, id, name, raw, mapping, until) values ($1, $2, $3, $4, $5, $6)
     on conflict (fleet, id) do update set mapping = excluded.mapping, until = excluded.until`,
    [fleet, w.id, w.name, w.raw, w.mapping && JSON.stringify(w.mapping), now + TWO_HOURS_MS],
  );
  await tx.rows(
    `delete from waiting_import where fleet = $1 and (until <= $2
       or id in (select id from waiting_import where fleet = $1 order by until desc, id offset $3))`,
    [fleet, now, MOST_A_FLEET],
  );
}

export async function takeUp(tx: Tx, fleet: string, id: string, now: number): Promise<Waiting | Problem> {
  const found = await tx.row<Waiting>(
    'select id, name, raw::text as raw, mapping from waiting_import where fleet = $1 and id = $2 and until > $3',
    [fleet, id, now],
  );
  return found ?? problem('FW-111');
}

export const dropWaiting = (tx: Tx, fleet: string, id: string) =>
  tx.rows('delete from waiting_import where fleet = $1 and id = $2', [fleet, id]);
