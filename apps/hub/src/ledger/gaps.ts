import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import type { AckMessage, AgainMessage, LostMessage, StateMessage } from '@fillwright/wire';
import type { Tx } from '../store/database.ts';
import { contiguous } from './marks.ts';

/**
 * What the office lacks of a journal. A box lets go only of what was acknowledged, so a gap means that the office has lost what it had: it was
 * restored from an older backup. It asks for it again; what the box no longer keeps is gone, and a person says so.
 */
export interface Gap {
  readonly site: string;
  readonly epoch: string;
  readonly from: number;
  readonly to: number;
  readonly noticedAt: number;
  readonly word: string | null;
  readonly by: string | null;
  readonly at: number | null;
}

interface Mark {
  readonly up_to: number;
  readonly top: number;
  readonly claimed: number;
}

/** Keeps up to where a box believes that the office has all. */
export async function noteJournal(tx: Tx, fleet: string, site: string, said: StateMessage): Promise<void> {
  if (!said.journal) return;
  await tx.rows(
    `insert into journal_mark (fleet, site, epoch, up_to, top, claimed) values ($1, $2, $3, 0, 0, $4)
     on conflict (fleet, site, epoch) do update set claimed = greatest(journal_mark.claimed, excluded.claimed)`,
    [fleet, site, said.epoch, said.journal.acknowledged],
  );
}

/** These entries are of two journals under one name: copied with its box, or set back. */
export async function noteFork(
  tx: Tx,
  fleet: string,
  site: string,
  epoch: string,
  seq: number,
  now: number,
): Promise<void> {
  await tx.rows(
    `update journal_mark set forked_at = $5, forked_seq = $4
     where fleet = $1 and site = $2 and epoch = $3 and forked_at is null`,
    [fleet, site, epoch, seq, now],
  );
}

const markOf = (tx: Tx, fleet: string, site: string, epoch: string): Promise<Mark | undefined> =>
  tx.row<Mark>('select up_to, top, claimed from journal_mark where fleet = $1 and site = $2 and epoch = $3', [
    fleet,
    site,
    epoch,
  ]);

/** What is to be sent again first; undefined where nothing is lacking that the box may still keep. */
export async function lacking(tx: Tx, fleet: string, site: string, epoch: string): Promise<AgainMessage | undefined> {
  const mark = await markOf(tx, fleet, site, epoch);
  if (!mark || mark.up_to >= mark.claimed) return undefined;
  const lost = await tx.row<{ to: number | null }>(
    'select max(to_seq) as "to" from journal_gap where fleet = $1 and site = $2 and epoch = $3 and word is null',
    [fleet, site, epoch],
  );
  const after = await contiguous(tx, fleet, site, epoch, Math.max(mark.up_to, lost?.to ?? 0));
  if (after >= mark.claimed) return undefined;
  const next = await tx.row<{ seq: number | null }>(
    'select min(seq) as seq from entry where fleet = $1 and site = $2 and epoch = $3 and seq > $4',
    [fleet, site, epoch, after],
  );
  return { epoch, after, to: Math.min(mark.claimed, (next?.seq ?? Number.MAX_SAFE_INTEGER) - 1) };
}

/** The box says that entries are gone: a gap that waits for a person's word. Only what the office lacks can be gone. */
export async function noteLost(tx: Tx, fleet: string, site: string, lost: LostMessage, now: number): Promise<boolean> {
  const mark = await markOf(tx, fleet, site, lost.epoch);
  if (!mark || lost.to > mark.claimed || lost.from !== mark.up_to + 1 || lost.to < lost.from) return false;
  const here = await tx.row(
    'select from entry where fleet = $1 and site = $2 and epoch = $3 and seq between $4 and $5 limit 1',
    [fleet, site, lost.epoch, lost.from, lost.to],
  );
  if (here) return false;
  await tx.rows(
    `insert into journal_gap (fleet, site, epoch, from_seq, to_seq, noticed_at) values ($1, $2, $3, $4, $5, $6)
     on conflict (fleet, site, epoch, from_seq) do update set to_seq = greatest(journal_gap.to_seq, excluded.to_seq)`,
    [fleet, site, lost.epoch, lost.from, lost.to, now],
  );
  return true;
}

export const gapsOf = (tx: Tx, fleet: string): Promise<Gap[]> =>
  tx.rows<Gap>(
    `select site, epoch, from_seq as "from", to_seq as "to", noticed_at as "noticedAt", word, by, at from journal_gap
     where fleet = $1 order by noticed_at desc, site, epoch, from_seq`,
    [fleet],
  );

export interface GapWord {
  readonly site: string;
  readonly epoch: string;
  readonly from: number;
  readonly word: string;
  readonly by: string;
}

/** A person has said that a gap may stay: what lies beyond it counts as come. Errors: FW-411 there is no such gap, FW-412 no word. */
export async function passGap(tx: Tx, fleet: string, said: GapWord, now: number): Promise<Result<AckMessage, Problem>> {
  const word = said.word.trim();
  if (word === '') return err(problem('FW-412'));
  const gap = await tx.row<{ to_seq: number }>(
    `update journal_gap set word = $5, by = $6, at = $7
     where fleet = $1 and site = $2 and epoch = $3 and from_seq = $4 and word is null returning to_seq`,
    [fleet, said.site, said.epoch, said.from, word, said.by, now],
  );
  if (!gap) return err(problem('FW-411', { at: { in: said.site }, found: `${said.epoch} ${said.from}` }));
  const upTo = await contiguous(tx, fleet, said.site, said.epoch, gap.to_seq);
  await tx.rows(
    `update journal_mark set up_to = greatest(up_to, $4), top = greatest(top, $4)
     where fleet = $1 and site = $2 and epoch = $3`,
    [fleet, said.site, said.epoch, upTo],
  );
  return ok({ epoch: said.epoch, upTo, setAside: [] });
}
