import { createHash, randomBytes } from 'node:crypto';
import type { Me } from '@fillwright/wire';
import type { Database, Tx } from '../store/database.ts';

const DAYS_30_MS = 30 * 86_400_000;
const COOKIE = 'fillwright';

const hashOf = (token: string): string => createHash('sha256').update(token).digest('hex');

/** A new session; what is returned goes into the cookie, and only its hash is stored. The fleet leads, so that no look-up crosses fleets. */
export async function openSession(tx: Tx, fleet: string, account: string, now: number): Promise<string> {
  const token = randomBytes(32).toString('base64url');
  await tx.rows('delete from session where fleet = $1 and until < $2', [fleet, now]);
  await tx.rows('insert into session (fleet, hash, account, until) values ($1, $2, $3, $4)', [
    fleet,
    hashOf(token),
    account,
    now + DAYS_30_MS,
  ]);
  return `${fleet}.${token}`;
}

interface Found {
  readonly id: string;
  readonly email: string;
  readonly name: string;
  readonly role: Me['role'];
  readonly fleet_name: string;
}

const split = (cookie: string): [string, string] | undefined => {
  const [fleet, token, more] = cookie.split('.');
  return fleet && token && more === undefined ? [fleet, token] : undefined;
};

/** Who holds this cookie, while the session lasts and the account is open. */
export async function whoIs(db: Database, cookie: string, now: number): Promise<Me | undefined> {
  const parts = split(cookie);
  if (!parts) return undefined;
  const [fleet, token] = parts;
  return db.as(fleet, async (tx) => {
    const row = await tx.row<Found>(
      `select a.id, a.email, a.name, a.role, e.row ->> 'name' as fleet_name
       from session s join account a on a.fleet = s.fleet and a.id = s.account
       join entity e on e.fleet = s.fleet and e.tbl = 'settings' and e.to_version is null
       where s.fleet = $1 and s.hash = $2 and s.until > $3 and a.open`,
      [fleet, hashOf(token), now],
    );
    if (!row) return undefined;
    // Once a minute is often enough to say when somebody was last here.
    await tx.rows(
      'update account set last_seen = $3 where fleet = $1 and id = $2 and coalesce(last_seen, 0) < $3::bigint - 60000',
      [fleet, row.id, now],
    );
    return { id: row.id, email: row.email, name: row.name, role: row.role, fleet, fleetName: row.fleet_name };
  });
}

export async function closeSession(db: Database, cookie: string): Promise<void> {
  const parts = split(cookie);
  if (!parts) return;
  await db.as(parts[0], (tx) =>
    tx.rows('delete from session where fleet = $1 and hash = $2', [parts[0], hashOf(parts[1])]),
  );
}

/** The session's cookie among those that the browser sent. */
export function cookieIn(header: string | undefined): string | undefined {
  for (const part of (header ?? '').split(';')) {
    const at = part.indexOf('=');
    if (at > 0 && part.slice(0, at).trim() === COOKIE) return part.slice(at + 1).trim();
  }
  return undefined;
}

export const setCookie = (value: string, secure: boolean): string =>
  `${COOKIE}=${value}; Path=/; HttpOnly; SameSite=Strict; Max-Age=${value === '' ? 0 : DAYS_30_MS / 1000}${secure ? '; Secure' : ''}`;
