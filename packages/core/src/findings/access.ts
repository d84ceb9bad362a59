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

const fitsHose = (ctx: FindingContext, allowances: readonly string[], hose: Hose): boolean =>
  allowances.some((id) => {
    const a = ctx.fleet.allowances.get(id);
    return a !== undefined && covers(a, hose);
  });

/** The hoses that a holder's own sites have. */
export function hosesOf(ctx: FindingContext, holder: Pick<Holder, 'sites'>): readonly Hose[] {
  return holder.sites === null
    ? ctx.liveHoses
    : [...new Set(holder.sites)].flatMap((site) => ctx.liveHosesAt.get(site) ?? []);
}

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
    for (const hose of hosesOf(ctx, holder)) {
      const here = at.get(hose.id);
      if (!here) continue;
      if (holder.allowances.length === 0) here.silent = true;
      else if (!here.party) here.party = fitsHose(ctx, holder.allowances, hose);
    }
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
  const silent = holder.allowances.length === 0;
  let met = false;
  for (const hose of hoses) {
    const partner = partners.get(hose.id);
    if (silent) {
      if (partner?.party) return undefined;
      continue;
    }
    if (!fitsHose(ctx, holder.allowances, hose)) continue;
    met = true;
    const identify = ctx.fleet.sites.get(hose.site)?.identify;
    if (identify === side || identify === 'either' || partner?.party || partner?.silent) return undefined;
  }
  return silent ? 'allowance' : met ? 'partner' : 'hose';
}
