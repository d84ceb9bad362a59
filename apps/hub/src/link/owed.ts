import { formatDate } from '@fillwright/core/units';
import type { PinsMessage, SignedText, UsageTotal, WantedMessage } from '@fillwright/wire';
import { seal, signValue } from '@fillwright/wire/keys';
import type { OfficeKeys } from '../office/keys.ts';
import type { Tx } from '../store/database.ts';

/** What a site is owed: read from the database each time, so that nothing is owed twice and nothing forgotten. */

export const wantedFor = (tx: Tx, fleet: string, site: string): Promise<WantedMessage | undefined> =>
  tx.row<WantedMessage>(
    `select b.revision, b.digest, b.bytes from site_state s
     join bundle b on b.fleet = s.fleet and b.site = s.site and b.revision = s.wanted where s.fleet = $1 and s.site = $2`,
    [fleet, site],
  );

/** What is wanted, signed with when it is said, so that a word held back can be told from a fresh one. */
export const noticeOf = (
  keys: OfficeKeys,
  fleet: string,
  site: string,
  wanted: WantedMessage,
  at: number,
): WantedMessage => ({ ...wanted, notice: signValue({ ...wanted, fleet, site, at }, keys.signing.privateKey) });

export async function bundleFor(
  tx: Tx,
  keys: OfficeKeys,
  fleet: string,
  site: string,
  revision: number,
): Promise<SignedText | undefined> {
  const text = await tx.row<SignedText>(
    'select signed, signature from bundle where fleet = $1 and site = $2 and revision = $3',
    [fleet, site, revision],
  );
  return text && keys.afresh(text);
}

export const stopsFor = async (tx: Tx, keys: OfficeKeys, fleet: string, site: string): Promise<SignedText[]> =>
  (await stopsLeft(tx, fleet, site)).map((text) => keys.afresh(text));

const stopsLeft = (tx: Tx, fleet: string, site: string) =>
  tx.rows<SignedText>(
    `select o.signed, o.signature from stop_site o join stop s on s.fleet = o.fleet and s.id = o.stop
     where o.fleet = $1 and o.site = $2 and o.got_at is null order by s.at, s.id`,
    [fleet, site],
  );

/** Every PIN that this box has not said it has, each sealed to its key; undefined where it has all, or nobody has joined. */
export async function pinsFor(tx: Tx, keys: OfficeKeys, fleet: string, site: string): Promise<PinsMessage | undefined> {
  const box = await tx.row<{ seal_key: string; taken: number }>(
    `select b.seal_key, coalesce(t.version, 0) as taken from box b
     left join pin_taken t on t.fleet = b.fleet and t.site = b.site where b.fleet = $1 and b.site = $2`,
    [fleet, site],
  );
  if (!box) return undefined;
  const rows = await tx.rows<{ driver: string; secret: string | null; version: number }>(
    'select driver, secret, version from pin where fleet = $1 and version > $2 order by version',
    [fleet, box.taken],
  );
  if (rows.length === 0) return undefined;
  return {
    version: rows.reduce((most, r) => Math.max(most, r.version), 0),
    pins: rows.map((r) => ({
      driver: r.driver,
      sealed: r.secret === null ? null : seal(keys.show(r.secret), box.seal_key),
    })),
  };
}

export const usageSince = (tx: Tx, fleet: string, since: number): Promise<UsageTotal[]> =>
  tx.rows<UsageTotal>(
    `select site, holder, allowance, date, volume, fills from usage where fleet = $1 and date >= $2
     order by date, site, holder, allowance`,
    [fleet, formatDate(Math.floor(since / 86_400_000))],
  );
