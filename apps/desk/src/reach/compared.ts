import type { Fleet, Stretch } from '@fillwright/core/fleet';
import {
  type ChangedStretch,
  type ChangeKind,
  type LiveDifference,
  type Narrowed,
  narrowed,
  type Progress,
  type SitePair,
  sectionsOf,
} from '@fillwright/core/reach';
import { nameOf } from '../data/name-of.ts';
import type { Stretched, Within } from './message.ts';
import { type Told, type ToldOptions, toldOf } from './told.ts';
import { namesAndMore } from './words.ts';

type Counts = Readonly<Record<ChangeKind, number>>;

/** A comparison in words, by product over the week, by site, and for whom it changes nothing. */
export interface Compared {
  readonly told: Told;
  readonly weeks: readonly {
    readonly id: string;
    readonly product: string;
    readonly stretches: readonly ChangedStretch[];
  }[];
  /** Points at each site at which anything differs, the most first. */
  readonly sites: readonly (Counts & { readonly site: string; readonly name: string })[];
  /** Those for whom nothing differs, of those asked about, as 'Ana Voss, Ben Ode and 12 more'. */
  readonly unchanged: { readonly drivers: string; readonly vehicles: string };
}

const sum = (c: Counts) => c.gained + c.lost + c.raised + c.lowered;

/** Compares what a live difference holds, within what is asked about. `sites` where it is of two sites. */
export function* comparedOf(
  live: LiveDifference,
  within: Within,
  since: number | null,
  sites: SitePair | null,
): Generator<Progress, Compared> {
  const { before, after } = live;
  const [old, next] = [before.policy.fleet, after.policy.fleet];
  const found = yield* narrowed(live, sectionsIn(live, within, sites, null));
  const touched = found.touched();
  const same = (table: 'drivers' | 'vehicles') => namesOf(next, table, within, touched[table]);
  const called = (product: string) => nameOf(next.products.has(product) ? next : old, 'products', product);
  return {
    told: toldOf(found, before, after, optionsOf(since, sites)),
    weeks: [...found.weeks].map(([product, stretches]) => ({ id: product, product: called(product), stretches })),
    sites: sites ? [] : sitesOf(found, old, next),
    unchanged: { drivers: same('drivers'), vehicles: same('vehicles') },
  };
}

/** Names that are listed of each side of a group in a stretch of the week. */
const NAMES = 200;

/** What of a comparison lies in one stretch of the week, with the names of all whom it touches. */
export function* behindOf(
  live: LiveDifference,
  { within, span }: Pick<Stretched, 'within' | 'span'>,
  since: number | null,
  sites: SitePair | null,
): Generator<Progress, Told> {
  const found = yield* narrowed(live, sectionsIn(live, within, sites, span));
  return toldOf(found, live.before, live.after, { ...optionsOf(since, sites), names: NAMES });
}

function sectionsIn({ before, after }: LiveDifference, within: Within, sites: SitePair | null, span: Stretch | null) {
  const [old, next] = [before.policy.fleet, after.policy.fleet];
  const { site, ...who } = within;
  const at = (fleet: Fleet) => [...fleet.hoses.values()].filter((h) => h.site === site).map((h) => h.id);
  const hoses = site === null || sites ? null : new Set([...at(old), ...at(next)]);
  return sectionsOf(old, next, { ...who, hoses, span });
}

const optionsOf = (since: number | null, sites: SitePair | null): ToldOptions => ({
  since,
  ...(sites && {
    // What is no more at one of the sites is shown where it is.
    tryOn: ({ kind, witness: { hose } }) => {
      const [first, second] = sites.hoses.get(hose) ?? [hose, hose];
      return (kind === 'lost' || kind === 'lowered' ? first : second) ?? first ?? hose;
    },
  }),
});

/** Of those asked about, whoever is not touched. */
function namesOf(
  fleet: Fleet,
  table: 'drivers' | 'vehicles',
  { driver, vehicle, department }: Within,
  touched: ReadonlySet<string>,
): string {
  const one = table === 'drivers' ? driver : vehicle;
  if (department === null && one === null && (driver !== null || vehicle !== null)) return '';
  const first: string[] = [];
  let count = 0;
  for (const [id, row] of fleet[table]) {
    if (touched.has(id)) continue;
    if (department === null ? one !== null && id !== one : row.department !== department) continue;
    if (count++ < 3) first.push(nameOf(fleet, table, id));
  }
  return namesAndMore(first, count);
}

function sitesOf({ hoses }: Narrowed, old: Fleet, next: Fleet): Compared['sites'] {
  const sites = new Map<string, Counts>();
  for (const [id, c] of hoses) {
    if (sum(c) === 0) continue;
    const site = (next.hoses.get(id) ?? old.hoses.get(id))?.site ?? '';
    const had = sites.get(site);
    sites.set(
      site,
      had
        ? {
            gained: had.gained + c.gained,
            lost: had.lost + c.lost,
            raised: had.raised + c.raised,
            lowered: had.lowered + c.lowered,
          }
        : c,
    );
  }
  return [...sites]
    .map(([site, counts]) => ({ site, name: nameOf(next.sites.has(site) ? next : old, 'sites', site), ...counts }))
    .sort((a, b) => sum(b) - sum(a));
}
