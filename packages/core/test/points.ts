import { compile, type Decision, decide, NO_USAGE, type Policy } from '@fillwright/core/decide';
import type { Fleet } from '@fillwright/core/fleet';
import type { Book, Difference } from '@fillwright/core/reach';
import type { ZoneTable } from '@fillwright/core/units';
import { expect } from 'vitest';
import { OPEN_STEP } from './open-world.ts';
import { plausibleAnswers } from './small-world.ts';

const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };

/** Somebody, alone or with another, at a hose for one step of time: what they may draw there is another after than before. */
export interface Point {
  readonly driver: string | null;
  readonly vehicle: string | null;
  readonly hose: string;
  readonly site: string;
  /** The minute since 1970-01-01 with which the step begins. */
  readonly at: number;
  /** How long it is. */
  readonly minutes: number;
  /** What becomes of it, of which product, and by which rules. */
  readonly key: string;
  readonly before: number;
  readonly after: number;
}

/** The best that a pair may draw at a point, and the rule that says so, by trying every way of presenting it. */
function bestOf(policy: Policy, fleet: Fleet) {
  const ways = new Map<string, string[][]>();
  for (const a of fleet.credentials.values())
    for (const b of fleet.credentials.values()) {
      const drivers = new Set([a.driver, b.driver].filter((id) => id !== null));
      const vehicles = new Set([a.vehicle, b.vehicle].filter((id) => id !== null));
      if (drivers.size > 1 || vehicles.size > 1) continue;
      const key = `${[...drivers][0] ?? ''} ${[...vehicles][0] ?? ''}`;
      ways.set(key, [...(ways.get(key) ?? []), a === b ? [a.number] : [a.number, b.number]]);
    }
  const answers = plausibleAnswers(fleet);
  return (pair: string, hose: string, at: number): { limit: number; why: string } => {
    let best: Decision | null = null;
    for (const credentials of ways.get(pair) ?? []) {
      const site = fleet.hoses.get(hose)?.site ?? '';
      const d = decide(policy, { site, hose, at, credentials, pin: 'right', answers }, NO_USAGE);
      if (d.approved) best = d;
    }
    if (!best?.approved) return { limit: 0, why: '' };
    return { limit: best.limit, why: `${best.by.rule} ${best.by.on?.table === 'allowances' ? best.by.on.id : null}` };
  };
}

const ids = (...maps: ReadonlyMap<string, unknown>[]) => [...new Set(maps.flatMap((m) => [...m.keys()]))];

/** Every point that changes within so many days, by asking `decide` once a step about each, all sites in UTC. */
export function changedPoints(
  before: Fleet,
  after: Fleet,
  [first, end]: readonly [number, number],
  minutes = OPEN_STEP,
) {
  const zones = () => UTC;
  const [was, is] = [bestOf(compile(before, zones), before), bestOf(compile(after, zones), after)];
  const points: Point[] = [];
  for (const hose of ids(before.hoses, after.hoses)) {
    const [old, next] = [before.hoses.get(hose), after.hoses.get(hose)];
    const active = (row: typeof old, fleet: Fleet) => row?.active && fleet.sites.get(row.site)?.active;
    const there = active(next, after) ? next : undefined;
    const product = (there ?? old ?? next)?.product ?? '';
    const site = (there ?? old)?.site ?? '';
    for (let at = first * 1440; at < (end + 1) * 1440; at += minutes)
      for (const driver of [null, ...ids(before.drivers, after.drivers)])
        for (const vehicle of [null, ...ids(before.vehicles, after.vehicles)]) {
          const pair = `${driver ?? ''} ${vehicle ?? ''}`;
          const [x, y] = [was(pair, hose, at * 60_000), is(pair, hose, at * 60_000)];
          if (x.limit === y.limit) continue;
          const kind = x.limit === 0 ? 'gained' : y.limit === 0 ? 'lost' : y.limit > x.limit ? 'raised' : 'lowered';
          const key = `${kind} ${product} ${x.why} to ${y.why}`;
          points.push({ driver, vehicle, hose, site, at, minutes, key, before: x.limit, after: y.limit });
        }
  }
  return { points, was, is };
}

/** Everything that is said of changes of one kind and product with the same rules before and after. */
export interface Told {
  points: bigint;
  readonly driversAlone: Set<string>;
  readonly vehiclesAlone: Set<string>;
  readonly drivers: Set<string>;
  readonly vehicles: Set<string>;
  readonly sites: Set<string>;
  readonly hoses: Set<string>;
  before: [number, number];
  after: [number, number];
}

export type AllTold = Map<string, Told>;

const nothing = (): Told => ({
  points: 0n,
  driversAlone: new Set(),
  vehiclesAlone: new Set(),
  drivers: new Set(),
  vehicles: new Set(),
  sites: new Set(),
  hoses: new Set(),
  before: [Number.POSITIVE_INFINITY, 0],
  after: [Number.POSITIVE_INFINITY, 0],
});

function told(all: AllTold, key: string): Told {
  const found = all.get(key) ?? nothing();
  all.set(key, found);
  return found;
}

const widened = ([low, high]: [number, number], to: readonly number[]): [number, number] => [
  Math.min(low, ...to),
  Math.max(high, ...to),
];

/** What is to be said of the points. */
export function meant(points: Iterable<Point>): AllTold {
  const all: AllTold = new Map();
  for (const p of points) {
    const t = told(all, p.key);
    t.points += BigInt(p.minutes);
    if (p.vehicle === null) t.driversAlone.add(p.driver as string);
    else if (p.driver === null) t.vehiclesAlone.add(p.vehicle);
    else {
      t.drivers.add(p.driver);
      t.vehicles.add(p.vehicle);
    }
    t.hoses.add(p.hose);
    t.sites.add(p.site);
    t.before = widened(t.before, [p.before]);
    t.after = widened(t.after, [p.after]);
  }
  return all;
}

/** How many pairs of a driver and a vehicle have points at one hose, by their key: at most at one time, and over all times. */
export function pairsMet(points: Iterable<Point>) {
  const [at, ever] = [new Map<string, Set<string>>(), new Map<string, Set<string>>()];
  for (const { key, hose, at: minute, driver, vehicle } of points) {
    if (driver === null || vehicle === null) continue;
    for (const [sets, word] of [
      [at, `${key} at ${hose} ${minute}`],
      [ever, `${key} at ${hose}`],
    ] as const)
      sets.set(word, (sets.get(word) ?? new Set()).add(`${driver} ${vehicle}`));
  }
  const most = (sets: typeof at) => {
    const found = new Map<string, number>();
    for (const [word, { size }] of sets) {
      const key = word.split(' at ')[0] as string;
      found.set(key, Math.max(found.get(key) ?? 0, size));
    }
    return found;
  };
  return { each: most(at), ever: most(ever) };
}

/** Everybody is counted and listed once. */
function expectOnce(ids: Iterable<string> & { readonly size: number }): void {
  const list = [...ids];
  expect([list.length, new Set(list).size]).toEqual([ids.size, ids.size]);
}

/** By what the difference says; a side on which nothing may be drawn has no rule here, as `decide` may refuse for another. */
export function said({ groups }: Pick<Difference, 'groups'>, book: Book): { all: AllTold; keys: string[] } {
  const all: AllTold = new Map();
  const keys: string[] = [];
  const sizes = groups.map((g) => g.points);
  expect(sizes).toEqual(sizes.filter((n) => n > 0n).sort((a, b) => (a < b ? 1 : a > b ? -1 : 0)));
  for (const g of groups) {
    const why = (n: number, shut: boolean) =>
      shut ? '' : `${book.reasons[n]?.rule} ${book.reasons[n]?.allowance ?? null}`;
    const key = `${g.kind} ${g.product} ${why(g.whyBefore, g.kind === 'gained')} to ${why(g.whyAfter, g.kind === 'lost')}`;
    keys.push(key);
    const t = told(all, key);
    t.points += g.points;
    const { driversAlone, vehiclesAlone, together } = g.who;
    for (const [to, from] of [
      [t.driversAlone, driversAlone],
      [t.vehiclesAlone, vehiclesAlone],
      [t.drivers, together.drivers],
      [t.vehicles, together.vehicles],
      [t.sites, g.sites],
      [t.hoses, g.hoses],
    ] as const) {
      expectOnce(from);
      for (const id of from) to.add(id);
    }
    expect(new Set(g.drivers)).toEqual(new Set([...driversAlone, ...together.drivers]));
    expect(new Set(g.vehicles)).toEqual(new Set([...vehiclesAlone, ...together.vehicles]));
    expectOnce(g.drivers);
    expectOnce(g.vehicles);
    t.before = widened(t.before, g.before);
    t.after = widened(t.after, g.after);
  }
  return { all, keys };
}

/** Sets in one order, for a look at what differs. */
export const sorted = (all: AllTold) =>
  Object.fromEntries(
    [...all].map(([key, t]) => {
      const fields = Object.entries(t).map(([k, v]) => [k, v instanceof Set ? [...v].sort() : v] as const);
      return [key, Object.fromEntries(fields)];
    }),
  );
