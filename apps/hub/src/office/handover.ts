import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import type { OfficeKey } from '@fillwright/wire';
import { fingerprintOf } from '@fillwright/wire/keys';
import type { App } from '../app.ts';
import type { Tx } from '../store/database.ts';

/** How the office's signing key is given on to a new one, over all its fleets (docs/adr/0024-a-key-is-given-on-by-both.md). */

interface BoxKey {
  readonly site: string;
  /** Of the key that it goes by. */
  readonly version: number;
}

const boxes = (tx: Tx, fleet: string): Promise<BoxKey[]> =>
  tx.rows<BoxKey>(
    `select b.site, coalesce(k.version, 0) as version from box b
     left join key_taken k on k.fleet = b.fleet and k.site = b.site
     where b.fleet = $1 order by b.site`,
    [fleet],
  );

const behind = async (tx: Tx, fleet: string, version: number): Promise<BoxKey[]> =>
  (await boxes(tx, fleet)).filter((box) => box.version < version);

const everyFleet = async (app: App): Promise<string[]> =>
  (await app.db.lookUp((tx) => tx.rows<{ fleet: string }>('select f as fleet from every_fleet() as f'))).map(
    (f) => f.fleet,
  );

/** The key of today, and of the handover that goes on: which of the fleet's boxes have the new one and which do not yet, and how many of others. */
export async function officeKey(app: App, fleet: string): Promise<OfficeKey> {
  const { keys } = app;
  // All at once: a handover may end while the boxes are asked for.
  const { version, since = null, signing, next } = keys;
  const own = next ? await app.db.as(fleet, (tx) => boxes(tx, fleet)) : [];
  const sites = (has: boolean) => own.filter((b) => b.version >= (next?.version ?? 0) === has).map((b) => b.site);
  let others = 0;
  if (next)
    for (const other of await everyFleet(app))
      if (other !== fleet) others += (await app.db.as(other, (tx) => behind(tx, other, next.version))).length;
  return {
    version,
    since,
    publicKey: signing.publicKey,
    fingerprint: fingerprintOf(signing.publicKey),
    next: next
      ? {
          version: next.version,
          fingerprint: fingerprintOf(next.publicKey),
          since: next.since,
          until: next.until,
          has: sites(true),
          waiting: sites(false),
          others,
        }
      : null,
  };
}

/** Begins. Errors: FW-419 one goes on already, FW-420 the date is not one that boxes can keep. */
export async function handOver(app: App, fleet: string, until: number): Promise<Result<OfficeKey, Problem>> {
  const now = app.now();
  if (until < now + HOUR_MS || until > now + MOST_MS)
    return err(problem('FW-420', { found: new Date(until).toISOString() }));
  if (!app.keys.handOver(now, until)) return err(problem('FW-419'));
  await sayKeys(app);
  return ok(await officeKey(app, fleet));
}

const HOUR_MS = 3_600_000;
/** Longer than any box should be without word. */
const MOST_MS = 400 * 86_400_000;

/** Tells every box of every fleet how the key was given on. */
async function sayKeys(app: App): Promise<void> {
  for (const fleet of await everyFleet(app))
    for (const { site } of await app.db.as(fleet, (tx) =>
      tx.rows<{ site: string }>('select site from box where fleet = $1 order by site', [fleet]),
    ))
      app.link.sendKeys(fleet, site);
}

/**
 * Ends the handover once every box has the new key, or its date is there: from then on the office signs with the new key, and what lies at
 * the broker is said anew. Boxes that were away follow the statements when they come back. True when it ended.
 */
export async function judgeHandover(app: App): Promise<boolean> {
  const { next } = app.keys;
  if (!next) return false;
  const fleets = await everyFleet(app);
  if (app.now() < next.until)
    for (const fleet of fleets)
      if ((await app.db.as(fleet, (tx) => behind(tx, fleet, next.version))).length > 0) return false;
  if (!app.keys.finish()) return false;
  app.log.info({ version: app.keys.version }, 'the office signs with its new key');
  await sayKeys(app);
  for (const fleet of fleets)
    for (const { site } of await app.db.as(fleet, (tx) =>
      tx.rows<{ site: string }>('select site from box where fleet = $1 order by site', [fleet]),
    )) {
      await app.link.sendWanted(fleet, site);
      await app.link.sendStops(fleet, site);
    }
  return true;
}
