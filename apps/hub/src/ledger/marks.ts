import type { Tx } from '../store/database.ts';

/** The highest number up to which every entry of this journal after `from` is here; `from` itself where the next one is not. */
export async function contiguous(tx: Tx, fleet: string, site: string, epoch: string, from: number): Promise<number> {
  const row = await tx.row<{ seq: number | null }>(
    `select max(seq) as seq from (
       select seq, seq - row_number() over (order by seq) as gap from entry
       where fleet = $1 and site = $2 and epoch = $3 and seq > $4
         and exists (select from entry where fleet = $1 and site = $2 and epoch = $3 and seq = $4 + 1)
     ) as e where gap = $4`,
    [fleet, site, epoch, from],
  );
  return row?.seq ?? from;
}
