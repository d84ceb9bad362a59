import type { Statement } from '@fillwright/core/accounts';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import { canonical, type Fleet } from '@fillwright/core/fleet';
import { formatDate, localMoment } from '@fillwright/core/units';
import { sha256Hex } from '@fillwright/wire/keys';
import { zoneOrUtc } from '../ledger/zones.ts';
import type { Tx } from '../store/database.ts';
import { accountsInTurn } from './no-sale.ts';
import { drawn, type Period, periodsOf } from './rows.ts';

export const digestOf = (statement: Statement): string => sha256Hex(canonical(statement));

/** The earliest day that it is now at any site: a period is over when it is over everywhere. */
export const todayOf = (content: Fleet, now: number): number =>
  Math.min(
    localMoment(zoneOrUtc('UTC'), now).day,
    ...[...content.sites.values()].map((s) => localMoment(zoneOrUtc(s.zone), now).day),
  );

export interface CloseWish {
  readonly from: number;
  readonly to: number;
  /** Of the statement that the person looked at. */
  readonly digest: string;
  readonly word: string;
  readonly by: string;
}

/**
 * Closes the next period: keeps its statement whole, and notes which fills and corrections it took, in the caller's transaction.
 * Errors: FW-740 does not follow, FW-741 not over, FW-742 not what was looked at.
 */
export async function closePeriod(
  tx: Tx,
  fleet: string,
  content: Fleet,
  wish: CloseWish,
  now: number,
): Promise<Result<Period, Problem>> {
  // Of two who close at once the second finds that its period does not follow.
  await accountsInTurn(tx, fleet);
  const last = (await periodsOf(tx, fleet)).at(-1);
  if (last && wish.from !== last.to + 1)
    return err(problem('FW-740', { found: formatDate(wish.from), expected: formatDate(last.to + 1) }));
  if (wish.to >= todayOf(content, now)) return err(problem('FW-741', { found: formatDate(wish.to) }));
  const { statement } = await drawn(tx, fleet, content, wish.from, wish.to);
  const text = canonical(statement);
  const digest = sha256Hex(text);
  if (digest !== wish.digest) return err(problem('FW-742'));
  const number = (last?.number ?? 0) + 1;
  await tx.rows(
    `insert into account_period (fleet, number, from_day, to_day, closed_at, closed_by, word, digest, text)
     values ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
    [fleet, number, wish.from, wish.to, now, wish.by, wish.word, digest, text],
  );
  await tx.rows('insert into account_taken (fleet, fill, period) select $1, f, $2 from unnest($3::text[]) as f', [
    fleet,
    number,
    statement.lines.filter((l) => !l.back).map((l) => l.fill),
  ]);
  await tx.rows('update account_correction set period = $2 where fleet = $1 and period is null and id = any($3)', [
    fleet,
    number,
    [...statement.corrections.map((c) => c.id), ...statement.lines.flatMap((l) => l.back?.id ?? [])],
  ]);
  const { from, to, by, word } = wish;
  return ok({ number, from, to, closedAt: now, closedBy: by, word, digest });
}
