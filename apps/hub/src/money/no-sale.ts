import { chargedLine, type Statement } from '@fillwright/core/accounts';
import type { Tx } from '../store/database.ts';

/** Who closes a period and who takes a fill out of the sales take turns: a fill is either left out of the closing, or put right after it. */
export const accountsInTurn = (tx: Tx, fleet: string): Promise<unknown> =>
  tx.rows("select pg_advisory_xact_lock(hashtext('fillwright accounts ' || $1))", [fleet]);

/**
 * Fills that are no sale after all, though a closed period has charged them: the period stays as it is, and each gets an entry of its own
 * that takes the charged line back, on the first day of the next open period: volume, taxes, jurisdiction and all. Call it in the transaction that marks them, after `accountsInTurn`.
 */
export async function correctTaken(
  tx: Tx,
  fleet: string,
  fills: readonly string[],
  why: { readonly reason: string; readonly by: string; readonly at: number },
): Promise<void> {
  const taken = await tx.rows<{ fill: string; centre: string | null; text: string; next: number }>(
    `select t.fill, f.cost_centre as centre, p.text,
            (select max(to_day) + 1 from account_period l where l.fleet = t.fleet) as next
     from account_taken t
       join account_period p on p.fleet = t.fleet and p.number = t.period
       join fill f on f.fleet = t.fleet and f.id = t.fill
     where t.fleet = $1 and t.fill = any($2) order by t.fill`,
    [fleet, fills],
  );
  for (const { fill, centre, text, next } of taken) {
    const charged = chargedLine(JSON.parse(text) as Statement, fill);
    if (!charged) continue;
    await tx.rows(
      `insert into account_correction (fleet, id, day, cost_centre, amount, reason, by, at, charged)
       values ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
      [
        fleet,
        `no-sale-${fill}`,
        next,
        centre ?? '',
        0 - charged.line.gross,
        why.reason,
        why.by,
        why.at,
        JSON.stringify(charged),
      ],
    );
  }
}
