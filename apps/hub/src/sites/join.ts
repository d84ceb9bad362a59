import { randomBytes, randomInt } from 'node:crypto';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import type { Joined } from '@fillwright/wire';
import type { App } from '../app.ts';
import { boxUser, hashSecret } from '../link/broker.ts';
import { orderStanding } from '../urgent/stops.ts';

// Without letters and digits that look alike when read aloud or from a note.
const LETTERS = 'ABCDEFGHJKMNPQRSTVWXYZ23456789';
const DAY_MS = 86_400_000;

const plain = (code: string): string => code.toUpperCase().replace(/[^A-Z0-9]/g, '');

/** A one-time code of twelve letters (58 bits), good for a day; an earlier one for the site ends. */
export async function makeJoinCode(
  app: App,
  fleet: string,
  site: string,
): Promise<Result<{ code: string; until: number }, Problem>> {
  return app.db.as(fleet, async (tx): Promise<Result<{ code: string; until: number }, Problem>> => {
    const draft = await app.drafts.current(tx, fleet);
    if (!draft.fleet.sites.has(site)) return err(problem('FW-204', { at: { in: 'sites', row: site } }));
    const letters = Array.from({ length: 12 }, () => LETTERS[randomInt(LETTERS.length)]).join('');
    const until = app.now() + DAY_MS;
    await tx.rows('delete from join_code where fleet = $1 and site = $2', [fleet, site]);
    await tx.rows('insert into join_code (fleet, hash, site, until) values ($1, $2, $3, $4)', [
      fleet,
      hashSecret(letters),
      site,
      until,
    ]);
    return ok({ code: letters.replace(/(.{4})(?=.)/g, '$1-'), until });
  });
}

export interface Box {
  readonly code: string;
  readonly signKey: string;
  readonly sealKey: string;
  readonly box: string;
}

/** Takes a box in: its keys are kept, it gets a password of its own, and a box that stood there before is shut out. */
export async function joinBox(app: App, box: Box): Promise<Result<Joined, Problem>> {
  const hash = hashSecret(plain(box.code));
  const found = await app.db.lookUp((tx) =>
    tx.row<{ fleet: string; site: string }>('select fleet, site from join_code_by_hash($1)', [hash]),
  );
  if (!found) return err(problem('FW-405'));
  const { fleet, site } = found;
  const password = randomBytes(32).toString('base64url');
  const joined = await app.db.as(fleet, async (tx): Promise<Result<Joined, Problem>> => {
    const good = await tx.row(
      'update join_code set used = true where fleet = $1 and hash = $2 and not used and until > $3 returning site',
      [fleet, hash, app.now()],
    );
    const draft = await app.drafts.current(tx, fleet);
    const row = draft.fleet.sites.get(site);
    if (!good || !row) return err(problem('FW-405'));
    await tx.rows(
      `insert into box (fleet, site, joined_at, box, sign_key, seal_key, password) values ($1, $2, $3, $4, $5, $6, $7)
       on conflict (fleet, site) do update set joined_at = excluded.joined_at, box = excluded.box,
         sign_key = excluded.sign_key, seal_key = excluded.seal_key, password = excluded.password`,
      [fleet, site, app.now(), box.box, box.signKey, box.sealKey, hashSecret(password)],
    );
    await tx.rows(
      `insert into key_taken (fleet, site, version, at) values ($1, $2, $3, $4)
       on conflict (fleet, site) do update set version = excluded.version, at = excluded.at`,
      [fleet, site, app.keys.version, app.now()],
    );
    await tx.rows('delete from pin_taken where fleet = $1 and site = $2', [fleet, site]);
    await orderStanding(app, tx, fleet, site, draft.fleet);
    return ok({
      fleet,
      site,
      name: row.name,
      officeKey: app.keys.signing.publicKey,
      officeKeyVersion: app.keys.version,
      mqttUrl: app.mqttUrl,
      user: boxUser(fleet, site),
      password,
    });
  });
  if (joined.ok) app.dropBox(fleet, site);
  return joined;
}
