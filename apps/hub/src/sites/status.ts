import type { Fleet } from '@fillwright/core/fleet';
import type { SiteStatus, StateMessage } from '@fillwright/wire';
import type { Tx } from '../store/database.ts';

interface Stored {
  readonly site: string;
  readonly joined: boolean;
  readonly wanted: number | null;
  readonly wanted_since: number | null;
  readonly link: SiteStatus['link'];
  readonly link_since: number | null;
  readonly heard_at: number | null;
  readonly delivered_since: number | null;
  readonly said: StateMessage | null;
  readonly gap: boolean;
  readonly forked: boolean;
}

/** Each site of the draft, and what it has said of itself: what it runs is never guessed. */
export async function siteStatuses(tx: Tx, fleet: string, content: Fleet): Promise<SiteStatus[]> {
  const rows = await tx.rows<Stored>(
    `select s.site, b.site is not null as joined, s.wanted, s.wanted_since, s.link, s.link_since, s.heard_at, s.delivered_since,
       s.said, exists (
         select from journal_mark m where m.fleet = s.fleet and m.site = s.site and m.up_to < greatest(m.top, m.claimed)
       ) as gap, exists (
         select from journal_mark m where m.fleet = s.fleet and m.site = s.site and m.forked_at >= b.joined_at
       ) as forked
     from site_state s left join box b on b.fleet = s.fleet and b.site = s.site where s.fleet = $1
     union all
     select b.site, true, null, null, 'never', null, null, null, null, false, false from box b
     where b.fleet = $1 and not exists (select from site_state s where s.fleet = b.fleet and s.site = b.site)`,
    [fleet],
  );
  const known = new Map(rows.map((r) => [r.site, r]));
  return [...content.sites.values()].map((site) => statusOf(site.id, site.name, known.get(site.id)));
}

function statusOf(site: string, name: string, row: Stored | undefined): SiteStatus {
  const said = row?.said ?? null;
  return {
    site,
    name,
    joined: row?.joined ?? false,
    wanted: row?.wanted ?? null,
    wantedSince: row?.wanted_since ?? null,
    delivered: said?.delivered ?? null,
    deliveredSince: said?.delivered == null ? null : (row?.delivered_since ?? null),
    running: said?.running ?? null,
    runningSince: said?.runningSince ?? null,
    refused: said?.refused ?? null,
    link: row?.link ?? 'never',
    linkSince: row?.link_since ?? null,
    heardAt: row?.heard_at ?? null,
    stale: said?.stale ?? false,
    cutOff: said?.cutOff ?? false,
    frozen: said?.frozen ?? false,
    unsent: said?.unsent ?? 0,
    gap: row?.gap ?? false,
    forked: row?.forked ?? false,
    hoses: said?.hoses ?? [],
    tanks: said?.tanks ?? [],
  };
}
