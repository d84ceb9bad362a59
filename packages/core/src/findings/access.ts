import { LEAST_USEFUL } from '../decide/index.ts';
import type { Allowance, Driver, Hose, Site, Vehicle } from '../fleet/index.ts';
import type { FindingContext } from './context.ts';

/**
 * Who could ever draw, as far as it follows from products, sites, credentials and who must be identified (SPEC D5 to D17). Times of day
 * and other people's use are left out, so what is said here to be impossible is impossible.
 */
export type Barrier = 'site' | 'credential' | 'hose' | 'allowance' | 'partner';

/** An allowance that some moment and quantity could fit. */
export const canEverFit = (a: Allowance): boolean =>
  a.products.length > 0 &&
  (a.times === null || a.times.some((w) => w.days.length > 0)) &&
  a.fillsPerDay !== 0 &&
  [a.perFill, a.perDay, a.perWeek, a.perMonth].every((most) => most === null || most >= LEAST_USEFUL);

/** Holders that the rules looked at here cannot tell apart have one class. */
export const classOf = (holder: Pick<Holder, 'allowances' | 'sites'>): string =>
  `${holder.allowances.join(' ')}|${holder.sites === null ? '*' : holder.sites.join(' ')}`;

type Side = 'driver' | 'vehicle';
type Holder = Driver | Vehicle;
interface Presence {
  party: boolean;
  silent: boolean;
}

/** Whether an allowance could ever let something through at a hose. */
export const covers = (a: Allowance, hose: Hose): boolean =>
  a.products.includes(hose.product) && (a.sites?.includes(hose.site) ?? true) && canEverFit(a);

const covered = new WeakMap<FindingContext, Map<Allowance, readonly Hose[]>>();

/** The hoses in service that an allowance covers; worked out once a context. */
export function coveredBy(ctx: FindingContext, a: Allowance): readonly Hose[] {
  const lists = covered.get(ctx) ?? new Map<Allowance, readonly Hose[]>();
  covered.set(ctx, lists);
  let list = lists.get(a);
  if (!list) {
    list = hosesOf(ctx, a).filter((hose) => covers(a, hose));
    lists.set(a, list);
  }
  return list;
}

/** Each hose at a holder's own sites with each of its allowances that covers it. */
export function* fitting(
  ctx: FindingContext,
  { allowances, sites }: Pick<Holder, 'allowances' | 'sites'>,
): Generator<{ readonly hose: Hose; readonly by: Allowance }> {
  const own = sites && new Set(sites);
  for (const id of allowances) {
    const by = ctx.fleet.allowances.get(id);
    if (by) for (const hose of coveredBy(ctx, by)) if (own?.has(hose.site) ?? true) yield { hose, by };
  }
}

/** The hoses in service at some sites; null is every site. */
export const hosesOf = (ctx: FindingContext, { sites }: Pick<Holder, 'sites'>): readonly Hose[] =>
  sites === null ? ctx.liveHoses : [...new Set(sites)].flatMap((site) => ctx.liveHosesAt.get(site) ?? []);

export const hasCredential = (ctx: FindingContext, side: Side, id: string): boolean =>
  ctx.citing('credentials', side, id).some((c) => !c.stopped);

const needs = (site: Site | undefined, side: Side): boolean => site !== undefined && site.identify !== otherSide(side);
const otherSide = (side: Side): Side => (side === 'driver' ? 'vehicle' : 'driver');

export interface Barred {
  readonly side: Side;
  readonly holder: Holder;
  readonly why: Barrier;
}

const known = new WeakMap<FindingContext, readonly Barred[]>();

/** Every active holder that can never draw, with what stands in the way first; worked out once a context. */
export function barred(ctx: FindingContext): readonly Barred[] {
  let all = known.get(ctx);
  if (!all) {
    all = [...findBarred(ctx)];
    known.set(ctx, all);
  }
  return all;
}

function* findBarred(ctx: FindingContext): Generator<Barred> {
  const holders = {
    driver: [...ctx.fleet.drivers.values()].filter((d) => d.active),
    vehicle: [...ctx.fleet.vehicles.values()].filter((v) => v.active),
  };
  const present = {
    driver: presence(ctx, 'driver', holders.driver),
    vehicle: presence(ctx, 'vehicle', holders.vehicle),
  };
  for (const side of ['driver', 'vehicle'] as const) {
    const classes = new Map<string, Barrier | null>();
    for (const holder of holders[side]) {
      const key = classOf(holder);
      let why = classes.get(key);
      if (why === undefined) {
        why = barrier(ctx, side, holder, present[otherSide(side)]) ?? null;
        classes.set(key, why);
      }
      if (why !== null) yield { side, holder, why };
      else if (
        !hasCredential(ctx, side, holder.id) &&
        hosesOf(ctx, holder).some((h) => needs(ctx.fleet.sites.get(h.site), side))
      )
        yield { side, holder, why: 'credential' };
    }
  }
}

function presence(ctx: FindingContext, side: Side, holders: readonly Holder[]): ReadonlyMap<string, Presence> {
  const at = new Map<string, Presence>(ctx.liveHoses.map((h) => [h.id, { party: false, silent: false }]));
  const done = new Set<string>();
  for (const holder of holders) {
    const key = classOf(holder);
    if (done.has(key) || !hasCredential(ctx, side, holder.id)) continue;
    done.add(key);
    const silent = holder.allowances.length === 0;
    const met = (hose: Hose) => {
      const here = at.get(hose.id);
      if (here) here[silent ? 'silent' : 'party'] = true;
    };
    if (silent) hosesOf(ctx, holder).forEach(met);
    else for (const { hose } of fitting(ctx, holder)) met(hose);
  }
  return at;
}

function barrier(
  ctx: FindingContext,
  side: Side,
  holder: Holder,
  partners: ReadonlyMap<string, Presence>,
): Barrier | undefined {
  const hoses = hosesOf(ctx, holder);
  if (hoses.length === 0) return 'site';
  if (holder.allowances.length === 0) return hoses.some((h) => partners.get(h.id)?.party) ? undefined : 'allowance';
  let met = false;
  for (const { hose } of fitting(ctx, holder)) {
    met = true;
    const partner = partners.get(hose.id);
    const identify = ctx.fleet.sites.get(hose.site)?.identify;
    if (identify === side || identify === 'either' || partner?.party || partner?.silent) return undefined;
  }
  return met ? 'partner' : 'hose';
}
