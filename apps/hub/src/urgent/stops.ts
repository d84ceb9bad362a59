import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import type { Fleet } from '@fillwright/core/fleet';
import type { SignedText, Stop, StopOrder } from '@fillwright/wire';
import { signValue } from '@fillwright/wire/keys';
import type { App } from '../app.ts';
import type { Edited } from '../draft/drafts.ts';
import type { Tx } from '../store/database.ts';
import { joinedSites } from './pins.ts';

/** An order as it goes to its site. */
interface SignedOrder {
  readonly site: string;
  readonly text: SignedText;
}

export interface StopWish {
  readonly credential: string;
  readonly reason: string;
  readonly by: string;
}

/**
 * Stops a credential everywhere: marked in the draft, so that every later release has it, and ordered from each joined site at once by
 * a signed message. Undo passes over it: lifting a stop is an edit of its own.
 */
export async function stopCredential(
  app: App,
  fleet: string,
  wish: StopWish,
): Promise<Result<{ id: string; edited: Edited; orders: SignedOrder[] }, Problem[]>> {
  const draft = await app.db.as(fleet, (tx) => app.drafts.current(tx, fleet));
  const credential = draft.fleet.credentials.get(wish.credential);
  if (!credential) return err([problem('FW-204', { at: { in: 'credentials', row: wish.credential } })]);
  const id = app.randomId();
  let orders: SignedOrder[] = [];
  const edited = await app.drafts.edit(
    fleet,
    {
      version: draft.version,
      edits: [{ op: 'set', table: 'credentials', id: wish.credential, fields: { stopped: true } }],
      by: wish.by,
      note: wish.reason,
      kind: 'edit',
      lasting: true,
    },
    async (tx) => {
      const sites = await joinedSites(tx, fleet);
      const at = app.now();
      await tx.rows('insert into stop (fleet, id, credential, at, by, reason) values ($1, $2, $3, $4, $5, $6)', [
        fleet,
        id,
        wish.credential,
        at,
        wish.by,
        wish.reason,
      ]);
      const order = { id, at, numbers: [credential.number], reason: wish.reason };
      orders = await orderStops(
        app,
        tx,
        fleet,
        sites.map((site) => ({ ...order, site })),
      );
    },
  );
  return edited.ok ? ok({ id, edited: edited.value, orders }) : edited;
}

/** Signs each order and keeps all in one statement: hundreds of sites wait no longer than one. */
async function orderStops(app: App, tx: Tx, fleet: string, orders: readonly StopOrder[]): Promise<SignedOrder[]> {
  const signed = orders.map((order) => ({ order, ...signValue(order, app.keys.signing.privateKey) }));
  await tx.rows(
    `insert into stop_site (fleet, stop, site, signed, signature)
     select $1, * from unnest($2::text[], $3::text[], $4::text[], $5::text[])
     on conflict (fleet, stop, site) do update set signed = excluded.signed, signature = excluded.signature, got_at = null`,
    [
      fleet,
      signed.map((s) => s.order.id),
      signed.map((s) => s.order.site),
      signed.map((s) => s.signed),
      signed.map((s) => s.signature),
    ],
  );
  return signed.map(({ order, signed, signature }) => ({ site: order.site, text: { signed, signature } }));
}

/** A box that joins knows of no stop: it is ordered every one that still stands in the draft. */
export async function orderStanding(app: App, tx: Tx, fleet: string, site: string, content: Fleet): Promise<void> {
  const stops = await tx.rows<{ id: string; credential: string; at: number; reason: string }>(
    'select id, credential, at, reason from stop where fleet = $1 order by at, id',
    [fleet],
  );
  const orders: StopOrder[] = [];
  for (const { id, credential, at, reason } of stops) {
    const row = content.credentials.get(credential);
    if (row?.stopped) orders.push({ id, site, at, numbers: [row.number], reason });
  }
  await orderStops(app, tx, fleet, orders);
}

export async function listStops(tx: Tx, fleet: string, content: Fleet, only?: string): Promise<Stop[]> {
  const stops = await tx.rows<Omit<Stop, 'sites'>>(
    `select id, credential, at, by, reason from stop where fleet = $1 and ($2::text is null or id = $2)
     order by at desc, id limit 500`,
    [fleet, only ?? null],
  );
  const told = await tx.rows<{ stop: string; site: string; got_at: number | null }>(
    'select stop, site, got_at from stop_site where fleet = $1 and stop = any($2::text[]) order by site',
    [fleet, stops.map((s) => s.id)],
  );
  return stops.map((stop) => ({
    ...stop,
    sites: told
      .filter((t) => t.stop === stop.id)
      .map((t) => ({ site: t.site, name: content.sites.get(t.site)?.name ?? t.site, gotAt: t.got_at })),
  }));
}
