import { createHash } from 'node:crypto';
import { type Entry, entrySchema } from '@fillwright/core/island';
import type { EntriesMessage, UsageTotal, WireEntry } from '@fillwright/wire';
import type { Released } from '../release/released.ts';
import type { Tx } from '../store/database.ts';
import { noteFork } from './gaps.ts';
import { contiguous } from './marks.ts';
import { storeFact, storeReadings } from './store-fact.ts';
import { storeFill } from './store-fill.ts';
import { unlinked } from './unlinked.ts';

/** What came of a message of entries, to be told once the transaction is committed. */
export interface Stored {
  readonly upTo: number;
  /** More is here without a gap than before. */
  readonly advanced: boolean;
  readonly setAside: readonly number[];
  readonly fills: readonly string[];
  readonly refusals: number;
  readonly tanks: ReadonlySet<string>;
  readonly usage: readonly UsageTotal[];
}

interface Read {
  readonly entry: WireEntry;
  readonly fact: Entry | undefined;
  readonly why: string | null;
  readonly fill: string | null;
}

/**
 * Stores entries once each, whatever comes twice, late or out of order. What each fill amounts to is worked out from all entries of
 * that fill, so the ledger is the same for every order of arrival. What is not understood is kept whole and set aside.
 */
export async function storeEntries(
  tx: Tx,
  released: Released,
  fleet: string,
  site: string,
  message: EntriesMessage,
  now: number,
): Promise<Stored> {
  const { epoch } = message;
  await tx.rows(
    `insert into journal_mark (fleet, site, epoch, up_to, top) values ($1, $2, $3, 0, 0) on conflict do nothing`,
    [fleet, site, epoch],
  );
  // One message of a journal at a time, on however many hubs.
  const mark = await tx.row<{ up_to: number; top: number }>(
    'select up_to, top from journal_mark where fleet = $1 and site = $2 and epoch = $3 for update',
    [fleet, site, epoch],
  );
  const read = [...new Map(message.entries.map((e) => [e.seq, e])).values()].map((e) => readEntry(site, epoch, e));
  const loose = await unlinked(tx, { fleet, site, epoch }, message.entries);
  const linked = read.filter((r) => !loose.has(r.entry.seq));
  const fresh = await insertEntries(tx, fleet, site, epoch, linked);
  const clashing = await keepClashing(
    tx,
    fleet,
    site,
    epoch,
    read.filter((r) => !fresh.has(r.entry.seq)),
    loose,
  );
  if (clashing.length > 0) await noteFork(tx, fleet, site, epoch, Math.min(...clashing), now);

  const tanks = new Set<string>();
  const fills = new Map<string, number[]>();
  const unstorable: number[] = [];
  let refusals = 0;
  // A box that was cut off for weeks brings thousands of levels: they go in together, and one by one only where that fails.
  const levels = read.flatMap(({ entry, fact }) =>
    fact?.kind === 'reading' && fresh.has(entry.seq) ? [{ seq: entry.seq, fact }] : [],
  );
  const together = await attempt(tx, () => storeReadings(tx, { fleet, site, epoch }, levels));
  if (together.why === undefined) for (const { fact } of levels) tanks.add(fact.tank);
  for (const { entry, fact, fill } of read) {
    if (!fact || !fresh.has(entry.seq)) continue;
    if (fact.kind === 'reading' && together.why === undefined) continue;
    if (fill !== null) fills.set(fill, [...(fills.get(fill) ?? []), entry.seq]);
    if (fact.kind === 'refused') refusals++;
    const done = await attempt(tx, async () => storeFact(tx, { fleet, site, epoch, seq: entry.seq }, fact));
    if (done.why !== undefined) unstorable.push(...(await putAside(tx, fleet, site, epoch, [entry.seq], done.why)));
    else if (done.value !== undefined) tanks.add(done.value);
  }
  const usage: UsageTotal[] = [];
  for (const [id, seqs] of fills) {
    const done = await attempt(tx, () => storeFill(tx, released, fleet, site, id));
    if (done.why !== undefined) unstorable.push(...(await putAside(tx, fleet, site, epoch, seqs, done.why)));
    else {
      usage.push(...done.value.usage);
      for (const tank of done.value.tanks) tanks.add(tank);
    }
  }
  const upTo = await contiguous(tx, fleet, site, epoch, mark?.up_to ?? 0);
  const top = linked.reduce((most, r) => Math.max(most, r.entry.seq), mark?.top ?? 0);
  await tx.rows('update journal_mark set up_to = $4, top = $5 where fleet = $1 and site = $2 and epoch = $3', [
    fleet,
    site,
    epoch,
    upTo,
    top,
  ]);
  const misread = read.filter((r) => r.why !== null).map((r) => r.entry.seq);
  const setAside = [...new Set([...misread, ...clashing, ...unstorable])].sort((a, b) => a - b);
  return { upTo, advanced: upTo > (mark?.up_to ?? 0), setAside, fills: [...fills.keys()], refusals, tanks, usage };
}

/**
 * Does the work, or none of it where the data itself cannot be stored (SQLSTATE classes 22 and 23, or a number out of range): one such
 * entry must not keep all that follow it from being acknowledged.
 */
async function attempt<T>(
  tx: Tx,
  work: () => Promise<T>,
): Promise<{ value: T; why?: undefined } | { value?: undefined; why: string }> {
  await tx.rows('savepoint entry');
  try {
    const value = await work();
    await tx.rows('release savepoint entry');
    return { value };
  } catch (cause) {
    const code = String((cause as { code?: unknown }).code ?? '');
    if (!/^2[23]/.test(code) && !(cause instanceof RangeError)) throw cause;
    await tx.rows('rollback to savepoint entry');
    return { why: `It cannot be stored: ${(cause as Error).message}`.slice(0, 500) };
  }
}

async function putAside(
  tx: Tx,
  fleet: string,
  site: string,
  epoch: string,
  seqs: readonly number[],
  why: string,
): Promise<readonly number[]> {
  await tx.rows(
    'update entry set aside = $5 where fleet = $1 and site = $2 and epoch = $3 and seq = any($4::bigint[])',
    [fleet, site, epoch, seqs, why],
  );
  return seqs;
}

function readEntry(site: string, epoch: string, entry: WireEntry): Read {
  let json: unknown;
  try {
    json = JSON.parse(entry.text);
  } catch {
    return { entry, fact: undefined, why: 'It is not JSON.', fill: null };
  }
  const parsed = entrySchema.safeParse(json);
  if (!parsed.success) {
    const why = parsed.error.issues.map((i) => `${i.path.join('.')}: ${i.message}`).join('; ');
    return { entry, fact: undefined, why: why.slice(0, 500), fill: null };
  }
  const fact = parsed.data as Entry;
  const own = `${site}.${epoch}.${entry.seq}`;
  const fill =
    fact.kind === 'authorised' ? own : fact.kind === 'checkpoint' || fact.kind === 'ended' ? fact.fill : null;
  if (fill !== null && !fill.startsWith(`${site}.`))
    return { entry, fact: undefined, why: `It speaks of a fill of another site: ${fill}.`, fill: null };
  return { entry, fact, why: null, fill };
}

const kindOf = (r: Read): string => r.fact?.kind ?? 'not understood';
/** PostgreSQL's text cannot hold U+0000; what carries one is kept with the symbol for it. */
const storable = (text: string): string => text.replaceAll('\u0000', '\u2400');

async function insertEntries(
  tx: Tx,
  fleet: string,
  site: string,
  epoch: string,
  read: readonly Read[],
): Promise<Set<number>> {
  const rows = await tx.rows<{ seq: number }>(
    `insert into entry (fleet, site, epoch, seq, at, hash, kind, fill, text, aside)
     select $1, $2, $3, e.* from unnest($4::bigint[], $5::bigint[], $6::text[], $7::text[], $8::text[], $9::text[], $10::text[]) as e
     on conflict do nothing returning seq`,
    [
      fleet,
      site,
      epoch,
      read.map((r) => r.entry.seq),
      read.map((r) => r.entry.at),
      read.map((r) => storable(r.entry.hash)),
      read.map(kindOf),
      read.map((r) => r.fill),
      read.map((r) => storable(r.entry.text)),
      read.map((r) => r.why),
    ],
  );
  return new Set(rows.map((r) => r.seq));
}

/**
 * A number that came before with another text, or an entry that does not follow from the one before it, is a journal that was copied or
 * rolled back: the first stays, the other is kept beside it under an epoch of its own, for a person to look at.
 */
async function keepClashing(
  tx: Tx,
  fleet: string,
  site: string,
  epoch: string,
  again: readonly Read[],
  loose: ReadonlySet<number>,
): Promise<number[]> {
  if (again.length === 0) return [];
  const known = await tx.rows<{ seq: number; hash: string }>(
    'select seq, hash from entry where fleet = $1 and site = $2 and epoch = $3 and seq = any($4::bigint[])',
    [fleet, site, epoch, again.map((r) => r.entry.seq)],
  );
  const hashes = new Map(known.map((k) => [k.seq, k.hash]));
  const clashing = again.filter((r) => loose.has(r.entry.seq) || hashes.get(r.entry.seq) !== storable(r.entry.hash));
  for (const r of clashing) {
    const mark = createHash('sha256').update(r.entry.hash).digest('hex').slice(0, 12);
    await insertEntries(tx, fleet, site, `${epoch}~${mark}`, [
      {
        ...r,
        fact: undefined,
        fill: null,
        why: loose.has(r.entry.seq)
          ? 'It does not follow from the entry before it: a journal was copied or rolled back.'
          : 'Another entry came before under this number: a journal was copied or rolled back.',
      },
    ]);
  }
  return clashing.map((r) => r.entry.seq);
}
