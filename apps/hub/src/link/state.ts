import type { GotMessage, StateMessage } from '@fillwright/wire';
import type { Database, Tx } from '../store/database.ts';

/**
 * Keeps what a site says of itself. Its will, told by the broker when the line breaks, carries what was true when it dialled: only
 * `gone` is taken from it.
 */
export async function noteState(tx: Tx, fleet: string, site: string, said: StateMessage, now: number): Promise<void> {
  await tx.rows('insert into site_state (fleet, site) values ($1, $2) on conflict do nothing', [fleet, site]);
  if (said.link === 'gone') {
    await tx.rows(
      `update site_state set link = 'gone', link_since = case when link = 'gone' then link_since else $3 end
       where fleet = $1 and site = $2`,
      [fleet, site, now],
    );
    return;
  }
  await tx.rows(
    `update site_state set said = $4, heard_at = $3,
       link_since = case when link = 'here' then link_since else $3 end, link = 'here',
       delivered_since = case when delivered is not distinct from $5 then delivered_since else $3 end, delivered = $5
     where fleet = $1 and site = $2`,
    [fleet, site, now, JSON.stringify(said), said.delivered],
  );
}

/** Keeps what a site said of itself in a file, unless it has said something since. Nothing of the link follows from it. */
export async function noteCarried(tx: Tx, fleet: string, site: string, said: StateMessage): Promise<void> {
  await tx.rows('insert into site_state (fleet, site) values ($1, $2) on conflict do nothing', [fleet, site]);
  await tx.rows(
    `update site_state set said = $4, heard_at = $3,
       delivered_since = case when delivered is not distinct from $5 then delivered_since else $3 end, delivered = $5
     where fleet = $1 and site = $2 and (heard_at is null or heard_at < $3)`,
    [fleet, site, said.at, JSON.stringify(said), said.delivered],
  );
}

/** What a box has taken; whether that was news, as far as it matters to anybody. */
export async function noteGot(tx: Tx, fleet: string, site: string, got: GotMessage, now: number): Promise<boolean> {
  if (got.kind === 'key')
    return (
      (await tx.row(
        `insert into key_taken (fleet, site, version, at) values ($1, $2, $3, $4)
         on conflict (fleet, site) do update set version = excluded.version, at = excluded.at
         where key_taken.version < excluded.version returning site`,
        [fleet, site, got.version, now],
      )) !== undefined
    );
  if (got.kind === 'stop') {
    await tx.rows('update stop_site set got_at = $4 where fleet = $1 and site = $2 and stop = $3 and got_at is null', [
      fleet,
      site,
      got.id,
      now,
    ]);
    return true;
  }
  await tx.rows(
    `insert into pin_taken (fleet, site, version) values ($1, $2, $3)
     on conflict (fleet, site) do update set version = greatest(pin_taken.version, excluded.version)`,
    [fleet, site, got.version],
  );
  return true;
}

/** Every site that was here is gone: for a broker that has just started, where nobody has come yet. */
export async function allGone(db: Database, now: number): Promise<void> {
  const fleets = await db.lookUp((tx) => tx.rows<{ fleet: string }>('select f as fleet from every_fleet() as f'));
  for (const { fleet } of fleets)
    await db.as(fleet, (tx) =>
      tx.rows("update site_state set link = 'gone', link_since = $2 where fleet = $1 and link = 'here'", [fleet, now]),
    );
}
