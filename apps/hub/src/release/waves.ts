import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import type { Rollout, StateMessage } from '@fillwright/wire';
import type { App } from '../app.ts';
import type { Tx } from '../store/database.ts';
import { provenWave, stopRule, type Told } from './stop-rule.ts';

interface Row {
  readonly release: number;
  readonly state: Rollout['state'];
  readonly bake_ms: number;
  readonly wave: number;
  readonly wave_since: number;
  readonly why: string | null;
  readonly by: string | null;
}

/** Lets a release begin: its first wave is told, and whatever was still going out before it ends. Returns the sites that are told now. */
export async function beginRollout(
  tx: Tx,
  fleet: string,
  release: number,
  waves: readonly (readonly string[])[],
  bakeMs: number,
  now: number,
): Promise<readonly string[]> {
  await tx.rows(
    `update rollout set state = 'ended', why = $3 where fleet = $1 and release < $2 and state in ('going', 'paused')`,
    [fleet, release, `Release ${release} took its place.`],
  );
  const state = waves.length > 1 ? 'going' : 'ended';
  await tx.rows(
    'insert into rollout (fleet, release, state, bake_ms, wave, wave_since) values ($1, $2, $3, $4, 1, $5)',
    [fleet, release, state, bakeMs, now],
  );
  for (const [i, wave] of waves.entries())
    await tx.rows(
      'insert into rollout_site (fleet, release, site, wave) select $1, $2, s, $3 from unnest($4::text[]) as s',
      [fleet, release, i + 1, wave],
    );
  return tellWave(tx, fleet, release, 1, now);
}

async function tellWave(tx: Tx, fleet: string, release: number, wave: number, now: number): Promise<string[]> {
  const rows = await tx.rows<{ site: string }>(
    `insert into site_state (fleet, site, wanted, wanted_since)
     select $1, site, $2, $4 from rollout_site where fleet = $1 and release = $2 and wave = $3
     on conflict (fleet, site) do update set wanted = excluded.wanted, wanted_since = excluded.wanted_since returning site`,
    [fleet, release, wave, now],
  );
  return rows.map((r) => r.site);
}

/**
 * Looks at the release that is going out: stops it where a rule says so, tells the next wave where this one has proven itself. One
 * transaction, so that it never goes on past a reason to stop. Returns the sites that are told now.
 */
export async function judge(
  tx: Tx,
  fleet: string,
  now: number,
): Promise<{ changed: boolean; told: readonly string[] }> {
  const row = await tx.row<Row>(`select * from rollout where fleet = $1 and state = 'going' for update`, [fleet]);
  if (!row) return { changed: false, told: [] };
  const { release, wave, bake_ms } = row;
  await tx.rows(
    `update rollout_site r set ran_since = $3 from site_state s
     where r.fleet = $1 and r.release = $2 and r.ran_since is null and s.fleet = r.fleet and s.site = r.site
       and (s.said->>'running')::int = $2`,
    [fleet, release, now],
  );
  const told = await toldSites(tx, fleet, release, wave, now);
  const why = told.map((t) => stopRule(release, t, now)).find((w) => w !== undefined);
  if (why !== undefined) {
    await setState(tx, fleet, release, 'stopped', why, null);
    return { changed: true, told: [] };
  }
  const inWave = await tx.rows<{ site: string }>(
    'select site from rollout_site where fleet = $1 and release = $2 and wave = $3',
    [fleet, release, wave],
  );
  const names = new Set(inWave.map((s) => s.site));
  if (
    !provenWave(
      told.filter((t) => names.has(t.site)),
      bake_ms,
      now,
    )
  )
    return { changed: false, told: [] };
  return { changed: true, told: await nextWave(tx, fleet, row, now) };
}

async function nextWave(tx: Tx, fleet: string, { release, wave }: Row, now: number): Promise<readonly string[]> {
  const told = await tellWave(tx, fleet, release, wave + 1, now);
  if (told.length === 0) await setState(tx, fleet, release, 'ended', null, null);
  else
    await tx.rows('update rollout set wave = $3, wave_since = $4 where fleet = $1 and release = $2', [
      fleet,
      release,
      wave + 1,
      now,
    ]);
  return told;
}

const setState = (
  tx: Tx,
  fleet: string,
  release: number,
  state: Rollout['state'],
  why: string | null,
  by: string | null,
) =>
  tx.rows('update rollout set state = $3, why = $4, by = $5 where fleet = $1 and release = $2', [
    fleet,
    release,
    state,
    why,
    by,
  ]);

/** The sites that have been told so far. Refusals are those under the release, against those of as long a time before it ran. */
async function toldSites(tx: Tx, fleet: string, release: number, wave: number, now: number): Promise<Told[]> {
  const rows = await tx.rows<{
    site: string;
    ran_since: number | null;
    said: StateMessage | null;
    link: string;
    link_since: number | null;
    joined: boolean;
    after: number;
    before: number;
  }>(
    `select r.site, r.ran_since, s.said, s.link, s.link_since, b.site is not null as joined,
       (select count(*)::int from refusal f where f.fleet = r.fleet and f.site = r.site and f.revision = r.release) as after,
       (select count(*)::int from refusal f where f.fleet = r.fleet and f.site = r.site and f.revision < r.release
          and f.at between 2 * r.ran_since - $4 and r.ran_since) as before
     from rollout_site r join site_state s on s.fleet = r.fleet and s.site = r.site
     left join box b on b.fleet = r.fleet and b.site = r.site
     where r.fleet = $1 and r.release = $2 and r.wave <= $3 order by r.wave, r.site`,
    [fleet, release, wave, now],
  );
  return rows.map((r) => ({
    site: r.site,
    said: r.said,
    link: r.link,
    linkSince: r.link_since,
    ranSince: r.ran_since,
    joined: r.joined,
    refusals: r.after,
    refusalsBefore: r.before,
  }));
}

export type WaveDeed = 'pause' | 'go on' | 'next' | 'stop';

/**
 * What a person does with a release that goes out. 'next' tells the next wave before this one has proven itself. Errors: FW-351 it is not
 * going out, FW-352 it was stopped.
 */
export async function steer(
  tx: Tx,
  fleet: string,
  release: number,
  deed: WaveDeed,
  by: string,
  now: number,
): Promise<Result<readonly string[], Problem>> {
  const row = await tx.row<Row>('select * from rollout where fleet = $1 and release = $2 for update', [fleet, release]);
  if (!row || row.state === 'ended') return err(problem('FW-351', { found: String(release) }));
  if (row.state === 'stopped') return err(problem('FW-352', { found: row.why ?? '' }));
  if (deed === 'next') {
    await setState(tx, fleet, release, 'going', null, by);
    return ok(await nextWave(tx, fleet, row, now));
  }
  const next = { pause: 'paused', 'go on': 'going', stop: 'stopped' } as const;
  await setState(tx, fleet, release, next[deed], deed === 'stop' ? `${by} stopped it.` : null, by);
  return ok([]);
}

export async function rollouts(tx: Tx, fleet: string): Promise<Rollout[]> {
  const rows = await tx.rows<Row>('select * from rollout where fleet = $1 order by release desc limit 20', [fleet]);
  const sites = await tx.rows<{ release: number; site: string; wave: number; ran_since: number | null }>(
    'select release, site, wave, ran_since from rollout_site where fleet = $1 and release = any($2::int[]) order by wave, site',
    [fleet, rows.map((r) => r.release)],
  );
  return rows.map((r) => ({
    release: r.release,
    state: r.state,
    minutes: Math.round(r.bake_ms / 60_000),
    wave: r.wave,
    waveSince: r.wave_since,
    why: r.why,
    by: r.by,
    sites: sites
      .filter((s) => s.release === r.release)
      .map((s) => ({ site: s.site, wave: s.wave, ranSince: s.ran_since })),
  }));
}

/** Looks at every fleet's release that is going out; where a wave is told, its sites are sent word. */
export async function judgeAll(app: App): Promise<void> {
  const fleets = await app.db.lookUp((tx) => tx.rows<{ fleet: string }>('select f as fleet from every_fleet() as f'));
  for (const { fleet } of fleets) {
    const { changed, told } = await app.db.as(fleet, (tx) => judge(tx, fleet, app.now()));
    if (!changed) continue;
    app.tell(fleet, { kind: 'rollout' });
    for (const site of told) {
      await app.link.sendWanted(fleet, site);
      app.tell(fleet, { kind: 'site', site });
    }
  }
}
