import type { Database } from '../store/database.ts';

/** A site's word that it has taken an urgent stop. */
export interface StopGot {
  readonly site: string;
  readonly stop: string;
  readonly at: number;
}

/** Keeps such words. Hundreds come at once: while some are being written, the rest gather and are written together. */
export interface StopsGot {
  /** Resolves once it is committed; true when this site has no other stop left to take. */
  add(fleet: string, got: StopGot): Promise<boolean>;
}

interface Waiting {
  readonly got: StopGot;
  readonly done: (isLast: boolean) => void;
  readonly failed: (cause: unknown) => void;
}

export function openStopsGot(db: Database): StopsGot {
  const waiting = new Map<string, Waiting[]>();
  const writing = new Set<string>();

  async function write(fleet: string): Promise<void> {
    if (writing.has(fleet)) return;
    writing.add(fleet);
    for (let all = waiting.get(fleet); all && all.length > 0; all = waiting.get(fleet)) {
      waiting.delete(fleet);
      try {
        const left = await noteAll(
          db,
          fleet,
          all.map((w) => w.got),
        );
        for (const { got, done } of all) done(!left.has(got.site));
      } catch (cause) {
        for (const { failed } of all) failed(cause);
      }
    }
    writing.delete(fleet);
  }

  return {
    add: (fleet, got) =>
      new Promise((done, failed) => {
        waiting.set(fleet, [...(waiting.get(fleet) ?? []), { got, done, failed }]);
        // What has come within this turn of the loop goes together.
        setImmediate(() => void write(fleet));
      }),
  };
}

/** Of the sites that spoke, those that have a stop left to take. */
const noteAll = (db: Database, fleet: string, all: readonly StopGot[]): Promise<ReadonlySet<string>> =>
  db.as(fleet, async (tx) => {
    const sites = all.map((g) => g.site);
    await tx.rows(
      `update stop_site o set got_at = g.at from unnest($2::text[], $3::text[], $4::bigint[]) as g (site, stop, at)
       where o.fleet = $1 and o.site = g.site and o.stop = g.stop and o.got_at is null`,
      [fleet, sites, all.map((g) => g.stop), all.map((g) => g.at)],
    );
    const left = await tx.rows<{ site: string }>(
      'select distinct site from stop_site where fleet = $1 and site = any($2::text[]) and got_at is null',
      [fleet, sites],
    );
    return new Set(left.map((r) => r.site));
  });
