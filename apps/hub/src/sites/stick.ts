import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import {
  type AckMessage,
  fromSite,
  type SignedText,
  type StickFile,
  type StickTaken,
  type ToSite,
} from '@fillwright/wire';
import { openSigned, signValue } from '@fillwright/wire/keys';
import type { App } from '../app.ts';
import { lacking, noteJournal, noteLost } from '../ledger/gaps.ts';
import { bundleFor, noticeOf, pinsFor, stopsFor, usageSince, wantedFor } from '../link/owed.ts';
import { noteCarried, noteGot } from '../link/state.ts';

/** A month, the week that began before it, and days to spare. */
const USAGE_REACH_MS = 45 * 86_400_000;
const TOTALS_A_MESSAGE = 1000;

/** All that a site is owed, signed. Errors: FW-413 no box has joined as this site. */
export async function stickFor(app: App, fleet: string, site: string): Promise<Result<StickFile, Problem>> {
  const at = app.now();
  const messages = await app.db.as(fleet, async (tx) => {
    if (!(await tx.row('select from box where fleet = $1 and site = $2', [fleet, site]))) return undefined;
    const list: ToSite['messages'] = [];
    const wanted = await wantedFor(tx, fleet, site);
    const bundle = wanted && (await bundleFor(tx, app.keys, fleet, site, wanted.revision));
    // Stops first: they hold whatever becomes of the rest.
    for (const value of await stopsFor(tx, app.keys, fleet, site)) list.push({ kind: 'stop', value });
    const pins = await pinsFor(tx, app.keys, fleet, site);
    if (pins) list.push({ kind: 'pins', value: pins });
    const totals = await usageSince(tx, fleet, at - USAGE_REACH_MS);
    for (let i = 0; i < totals.length; i += TOTALS_A_MESSAGE)
      list.push({ kind: 'usage', value: { at, totals: totals.slice(i, i + TOTALS_A_MESSAGE) } });
    if (wanted) list.push({ kind: 'wanted', value: noticeOf(app.keys, fleet, site, wanted, at) });
    if (bundle) list.push({ kind: 'bundle', value: bundle });
    const marks = await tx.rows<{ epoch: string; up_to: number }>(
      'select epoch, up_to from journal_mark where fleet = $1 and site = $2 order by epoch',
      [fleet, site],
    );
    for (const { epoch, up_to } of marks) {
      const ack: AckMessage = { epoch, upTo: up_to, setAside: [] };
      list.push({ kind: 'ack', value: ack });
      // Once restored from a backup, it lacks what it had acknowledged: one gap a trip.
      const again = await lacking(tx, fleet, site, epoch);
      if (again) list.push({ kind: 'again', value: again });
    }
    return list;
  });
  if (!messages) return err(problem('FW-413', { at: { in: 'sites', row: site } }));
  const value: ToSite = { form: 'fillwright-to-site', fleet, site, at, messages };
  const { told } = app.keys;
  return ok({ ...signValue(value, app.keys.signing.privateKey), ...(told ? { keys: told } : {}) });
}

/**
 * Takes what a box wrote, on the way that its messages take: each entry once, however often and by whichever way it comes. Errors: FW-414 not
 * the file of a box, FW-413 no box has joined as this site, FW-415 the box that stands there did not sign it.
 */
export async function takeStick(app: App, fleet: string, text: SignedText): Promise<Result<StickTaken, Problem>> {
  const said = fromSite.safeParse(parsed(text.signed));
  if (!said.success) return err(problem('FW-414', { found: said.error.issues[0]?.message ?? '' }));
  const { site, at, state, got, entries, lost = [], more, refused } = said.data;
  if (said.data.fleet !== fleet) return err(problem('FW-414', { found: 'a file for another fleet' }));
  const box = await app.db.as(fleet, (tx) =>
    tx.row<{ sign_key: string }>('select sign_key from box where fleet = $1 and site = $2', [fleet, site]),
  );
  if (!box) return err(problem('FW-413', { at: { in: 'sites', row: site } }));
  if (!signedBy(text, box.sign_key)) return err(problem('FW-415', { at: { in: 'sites', row: site } }));

  let upTo = 0;
  let setAside = 0;
  for (const message of entries) {
    const stored = await app.link.take(fleet, site, message);
    upTo = stored.upTo;
    setAside += stored.setAside.length;
  }
  await app.db.as(fleet, async (tx) => {
    await noteCarried(tx, fleet, site, state);
    await noteJournal(tx, fleet, site, state);
    for (const one of lost) await noteLost(tx, fleet, site, one, app.now());
    for (const one of got) await noteGot(tx, fleet, site, one, app.now());
  });
  for (const one of got) if (one.kind === 'stop') app.tell(fleet, { kind: 'stop', id: one.id });
  return ok({
    site,
    at,
    entries: entries.reduce((sum, m) => sum + m.entries.length, 0),
    upTo,
    setAside,
    more,
    refused,
  });
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

function signedBy(text: SignedText, key: string): boolean {
  try {
    return openSigned(text, key) !== undefined;
  } catch {
    return false;
  }
}
