import type { Proving } from '@fillwright/wire';
import type { Tx } from '../store/database.ts';

/** Proving runs, newest first. */
export async function provings(
  tx: Tx,
  fleet: string,
  wish: { readonly hose?: string | undefined; readonly id?: string; readonly limit: number },
): Promise<Proving[]> {
  return tx.rows<Proving>(
    `select p.id, p.site, p.hose, p.at, p.by, p.run, p.judged, p.note, p.tank, p.returned,
            coalesce((select json_agg(f.id order by f.id) from fill f where f.fleet = p.fleet and f.proving = p.id), '[]') as fills
     from proving p where p.fleet = $1 and ($2::text is null or p.hose = $2) and ($3::text is null or p.id = $3)
     order by p.at desc, p.id limit $4`,
    [fleet, wish.hose ?? null, wish.id ?? null, wish.limit],
  );
}

/** Keeps a run as it is, and marks the fills that were drawn for it. */
export async function addProving(
  tx: Tx,
  fleet: string,
  p: Omit<Proving, 'judged'> & { readonly judged: unknown },
  move: string | null,
): Promise<void> {
  await tx.rows(
    `insert into proving (fleet, id, site, hose, at, by, run, judged, note, tank, returned, move)
     values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)`,
    [
      fleet,
      p.id,
      p.site,
      p.hose,
      p.at,
      p.by,
      JSON.stringify(p.run),
      JSON.stringify(p.judged),
      p.note,
      p.tank,
      p.returned,
      move,
    ],
  );
  if (p.fills.length > 0)
    await tx.rows('update fill set proving = $2 where fleet = $1 and id = any($3)', [fleet, p.id, p.fills]);
}
