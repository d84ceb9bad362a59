import type { WireEntry } from '@fillwright/wire';
import { chainHash } from '@fillwright/wire/chain';
import type { Tx } from '../store/database.ts';

/**
 * Numbers among these entries that do not follow from the entry before them, as far as that one is here: they are of another journal under the
 * same name. An entry whose predecessor has not come is taken on trust until it has.
 */
export async function unlinked(
  tx: Tx,
  place: { readonly fleet: string; readonly site: string; readonly epoch: string },
  entries: readonly WireEntry[],
): Promise<ReadonlySet<number>> {
  const stored = await tx.rows<{ seq: number; hash: string }>(
    'select seq, hash from entry where fleet = $1 and site = $2 and epoch = $3 and seq = any($4::bigint[])',
    [place.fleet, place.site, place.epoch, entries.flatMap((e) => [e.seq, e.seq - 1])],
  );
  const known = new Map(stored.map((s) => [s.seq, s.hash]));
  const bad = new Set<number>();
  for (const entry of [...entries].sort((a, b) => a.seq - b.seq)) {
    // What is here already is compared with itself, not with its neighbour.
    if (known.get(entry.seq) === entry.hash) continue;
    const before = known.get(entry.seq - 1);
    const follows =
      !bad.has(entry.seq - 1) &&
      (before === undefined || chainHash(before, entry.seq, entry.at, entry.text) === entry.hash);
    if (!follows) bad.add(entry.seq);
    else if (!known.has(entry.seq)) known.set(entry.seq, entry.hash);
  }
  return bad;
}
