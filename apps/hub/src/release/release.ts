import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import { type Finding, findings } from '@fillwright/core/findings';
import { changesInWords, emptyFleet, type Fleet, toJson } from '@fillwright/core/fleet';
import type { FindingReply, Preview, Release, ReplyOf } from '@fillwright/wire';
import { digestOf } from '@fillwright/wire/keys';
import type { App } from '../app.ts';
import type { Draft } from '../draft/drafts.ts';
import type { Tx } from '../store/database.ts';
import { makeBundle } from './make-bundle.ts';
import { planWaves, type WaveWish } from './plan-waves.ts';
import { accessOf, withoutWord, wordsKept } from './stands.ts';
import { beginRollout } from './waves.ts';

const DAY_MS = 86_400_000;
export const RELEASE_COLUMNS = 'number, version, at, by, note, digest, changes, words, access';

const replyOf = ({ id, code, severity, title, text, mend }: Finding): FindingReply => ({
  id,
  code,
  severity,
  title,
  text,
  mend,
});

/** What was released last; before the first release, a fleet with nothing in it. */
async function lastReleased(
  app: App,
  tx: Tx,
  fleet: string,
  draft: Draft,
): Promise<{ number: number | null; content: Fleet }> {
  const number = await app.released.newest(tx, fleet);
  const content = number === undefined ? undefined : await app.released.fleet(tx, fleet, number);
  return { number: number ?? null, content: content ?? emptyFleet(draft.fleet.settings) };
}

export async function preview(app: App, tx: Tx, fleet: string): Promise<Preview> {
  const draft = await app.drafts.current(tx, fleet);
  const last = await lastReleased(app, tx, fleet, draft);
  const changes = changesInWords(last.content, draft.fleet).map((c) => c.text);
  return {
    version: draft.version,
    base: last.number,
    changes,
    findings: findings(draft.fleet, { today: Math.floor(app.now() / DAY_MS) }).map(replyOf),
    same: last.number !== null && changes.length === 0 && !(await wasStopped(tx, fleet, last.number)),
  };
}

export interface Wish {
  readonly version: number;
  readonly note: string;
  /** A word for each warning by the finding's id, and for what `stands`. */
  readonly words: Readonly<Record<string, string>>;
  readonly by: string;
  readonly waves?: WaveWish | undefined;
  /** What reach has to say, worked out of the same version. */
  readonly stands: ReplyOf<'releaseStands'>;
}

/** A release that was stopped on its way may be released again as it is. */
const wasStopped = async (tx: Tx, fleet: string, number: number | null): Promise<boolean> =>
  (await tx.row("select from rollout where fleet = $1 and release = $2 and state = 'stopped'", [fleet, number])) !==
  undefined;

/** What stands against releasing: errors, or warnings without a word. */
function against(found: readonly Finding[], words: Readonly<Record<string, string>>): Problem[] {
  const at = (f: Finding) => ({ in: f.on[0]?.table ?? 'fleet', ...(f.on[0] ? { row: f.on[0].id } : {}), field: f.id });
  const errors = found.filter((f) => f.severity === 'error');
  if (errors.length > 0)
    return errors.map((f) => problem('FW-302', { cause: `${f.code} ${f.text}`, mend: f.mend, at: at(f) }));
  const silent = found.filter((f) => f.severity === 'warning' && !words[f.id]?.trim());
  return silent.map((f) => problem('FW-304', { cause: `${f.code} ${f.text}`, at: at(f) }));
}

/** Freezes the draft under the next number and makes every site's bundle, all in one transaction: a release is whole or is not. */
export async function makeRelease(
  app: App,
  fleet: string,
  wish: Wish,
): Promise<Result<{ release: Release; sites: readonly string[] }, Problem[]>> {
  return app.db.as(fleet, async (tx) => {
    await tx.rows('select from fleet where fleet = $1 for update', [fleet]);
    const draft = await app.drafts.current(tx, fleet);
    const { stands: byReach } = wish;
    if (wish.version !== draft.version || byReach.version !== draft.version)
      return err([
        problem('FW-301', { cause: `The draft has moved on to version ${draft.version} since you looked at it.` }),
      ]);
    const last = await lastReleased(app, tx, fleet, draft);
    if (byReach.base !== last.number)
      return err([problem('FW-301', { cause: `Release ${last.number} was made since you looked at the draft.` })]);
    const content = draft.fleet;
    const digest = digestOf(toJson(content));
    const same = await tx.row('select from release where fleet = $1 and number = $2 and digest = $3', [
      fleet,
      last.number,
      digest,
    ]);
    if (same && !(await wasStopped(tx, fleet, last.number))) return err([problem('FW-303')]);
    const found = findings(content, { today: Math.floor(app.now() / DAY_MS) });
    const stands = against(found, wish.words);
    if (stands.length > 0) return err(stands);
    const silent = withoutWord(byReach, wish.words);
    if (silent.length > 0) return err(silent);

    const waves = planWaves([...content.sites.keys()], wish.waves);
    if (!waves.ok) return err([waves.error]);

    const number = (last.number ?? 0) + 1;
    const at = app.now();
    const warned = found.filter((f) => f.severity === 'warning').map((f) => f.id);
    const kept = wordsKept(byReach, warned);
    const release: Release = {
      number,
      version: draft.version,
      at,
      by: wish.by,
      note: wish.note,
      digest,
      changes: changesInWords(last.content, content).map((c) => c.text),
      words: Object.fromEntries(Object.entries(wish.words).filter(([id]) => kept.has(id))),
      access: accessOf(byReach),
    };
    await tx.rows(
      `insert into release (fleet, number, version, at, by, note, digest, changes, words, access)
       values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`,
      [
        fleet,
        number,
        draft.version,
        at,
        wish.by,
        wish.note,
        digest,
        JSON.stringify(release.changes),
        JSON.stringify(release.words),
        JSON.stringify(release.access),
      ],
    );
    for (const site of content.sites.keys()) {
      // A large roster takes a while for each site: others get a turn between.
      await new Promise((turn) => setImmediate(turn));
      const made = makeBundle({ fleet, number, parent: last.number, at, content }, site, app.keys.signing.privateKey);
      await tx.rows(
        'insert into bundle (fleet, site, revision, digest, bytes, signed, signature) values ($1, $2, $3, $4, $5, $6, $7)',
        [fleet, site, number, made.digest, made.bytes, made.signed, made.signature],
      );
    }
    const sites = await beginRollout(tx, fleet, number, waves.value, (wish.waves?.minutes ?? 0) * 60_000, at);
    await tx.rows('update fleet set base = $2 where fleet = $1', [fleet, number]);
    return ok({ release, sites });
  });
}
