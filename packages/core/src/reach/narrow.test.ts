import { compile, revise } from '@fillwright/core/decide';
import type { Fleet } from '@fillwright/core/fleet';
import {
  Book,
  differenceOf,
  LiveDifference,
  NARROWED_TO_NOTHING,
  type Narrowed,
  type Narrowing,
  narrowed,
  reachTable,
  revisedTable,
  sectionsOf,
  sectionsOfCredential,
  sitePair,
} from '@fillwright/core/reach';
import { weekdayOf, type ZoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { bruteAccess, changedFleet } from '../../test/brute-access.ts';
import { last } from '../../test/edited.ts';
import { OPEN_STEP, openWorld, withDepartments } from '../../test/open-world.ts';
import { seeded, smallWorld } from '../../test/small-world.ts';
import { largestFirst } from './groups.ts';

const FLEETS = Number(process.env.FILLWRIGHT_NARROW_FLEETS ?? process.env.FILLWRIGHT_REACH_FLEETS ?? 60);
const FROM = Number(process.env.FILLWRIGHT_REACH_FROM ?? 1);
const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const zones = () => UTC;
const FIRST = Date.UTC(2026, 2, 6) / 86_400_000;
const DAYS = 4;
const HORIZON = [FIRST, FIRST + DAYS - 1] as const;
/** Every second fleet is one in which most is open. The windows of each begin and end at multiples of so many minutes. */
const stepOf = (seed: number) => (seed % 2 ? OPEN_STEP : 30);
const worldOf = (seed: number) => (seed % 2 ? openWorld(seed) : smallWorld(seed).fleet);
const KINDS = ['gained', 'lost', 'raised', 'lowered'] as const;
type Kind = (typeof KINDS)[number];

interface Point {
  readonly driver: string | null;
  readonly vehicle: string | null;
  readonly hose: string;
  readonly product: string;
  readonly at: number;
  readonly kind: Kind;
}

const kindOf = (was: number, is: number): Kind =>
  was === 0 ? 'gained' : is === 0 ? 'lost' : is > was ? 'raised' : 'lowered';
const ids = (...maps: ReadonlyMap<string, unknown>[]) => [...new Set(maps.flatMap((m) => [...m.keys()]))];

/** What each hose gives: afterwards, or before where it is out of service then. */
function productsOf(before: Fleet, after: Fleet): Map<string, string> {
  const active = (fleet: Fleet, hose: string) => {
    const row = fleet.hoses.get(hose);
    return row?.active && fleet.sites.get(row.site)?.active ? row : undefined;
  };
  return new Map(
    ids(before.hoses, after.hoses).map((hose) => {
      const row = active(after, hose) ?? before.hoses.get(hose) ?? after.hoses.get(hose);
      return [hose, row?.product ?? ''];
    }),
  );
}

/** Every point that changes, by trying each. */
function changedPoints(before: Fleet, after: Fleet, step: number): Point[] {
  const [was, is] = [bruteAccess(compile(before, zones), before), bruteAccess(compile(after, zones), after)];
  const points: Point[] = [];
  const products = productsOf(before, after);
  for (const hose of ids(before.hoses, after.hoses)) {
    const [old, next] = [before.hoses.get(hose), after.hoses.get(hose)];
    const product = products.get(hose) as string;
    for (const driver of [null, ...ids(before.drivers, after.drivers)])
      for (const vehicle of [null, ...ids(before.vehicles, after.vehicles)])
        for (let minute = FIRST * 1440; minute < (FIRST + DAYS) * 1440; minute += step) {
          const pair = `${driver ?? ''} ${vehicle ?? ''}`;
          const [x, y] = [
            was(pair, hose, old?.site ?? '', minute * 60_000),
            is(pair, hose, next?.site ?? '', minute * 60_000),
          ];
          if (x !== y) points.push({ driver, vehicle, hose, product, at: minute, kind: kindOf(x, y) });
        }
  }
  return points;
}

/** Every point that there is, changed or not: of whoever may come at all, and of hoses in service. */
function* everyPoint({ before, after }: LiveDifference, productOf: ReadonlyMap<string, string>, step: number) {
  const hoses = new Set([before, after].flatMap((t) => t.hoses.flatMap((h) => h.members.map((m) => m.row.id))));
  for (const hose of hoses)
    for (const driver of [null, ...ids(before.driverOf, after.driverOf)])
      for (const vehicle of [null, ...ids(before.vehicleOf, after.vehicleOf)])
        for (let at = FIRST * 1440; at < (FIRST + DAYS) * 1440; at += step)
          if (driver !== null || vehicle !== null)
            yield { driver, vehicle, hose, product: productOf.get(hose) ?? '', at };
}

/** Points, weeks and names of what was found, against the points that are meant. */
function expectAlike(got: Narrowed, want: readonly Point[], step: number, told: string): void {
  const counts = { gained: 0n, lost: 0n, raised: 0n, lowered: 0n };
  const week = new Map<string, number>();
  for (const p of want) {
    counts[p.kind] += BigInt(step);
    const minute = weekdayOf(Math.floor(p.at / 1440)) * 1440 + (p.at % 1440);
    const key = `${p.product} ${minute} ${p.kind}`;
    week.set(key, (week.get(key) ?? 0) + 1);
  }
  expect(got.points, told).toEqual(counts);
  const touched = got.touched();
  const ids = (side: 'driver' | 'vehicle') => [...new Set(want.flatMap((p) => p[side] ?? []))].sort();
  expect([...touched.drivers].sort(), told).toEqual(ids('driver'));
  expect([...touched.vehicles].sort(), told).toEqual(ids('vehicle'));
  const found = new Map<string, number>();
  expect([...got.weeks.keys()].sort(), told).toEqual([...new Set(want.map((p) => p.product))].sort());
  for (const [product, stretches] of got.weeks) {
    expect([stretches[0]?.from, stretches.at(-1)?.to]).toEqual([0, 10_080]);
    for (const [n, s] of stretches.entries()) {
      const next = stretches[n + 1];
      expect(next?.from ?? 10_080, told).toBe(s.to);
      expect(KINDS.some((kind) => s[kind] !== next?.[kind])).toBe(true);
      for (let minute = s.from; minute < s.to; minute += step)
        for (const kind of KINDS) if (s[kind] !== 0) found.set(`${product} ${minute} ${kind}`, s[kind]);
    }
  }
  expect(Object.fromEntries(found), told).toEqual(Object.fromEntries(week));
  for (const hose of new Set([...got.hoses.keys(), ...want.map((p) => p.hose)]))
    for (const kind of KINDS)
      expect(got.hoses.get(hose)?.[kind], `${told} ${hose}`).toBe(
        step * want.filter((p) => p.hose === hose && p.kind === kind).length,
      );
  for (const group of got.groups) {
    const { witness: w, kind } = group;
    const at = w.day * 1440 + w.minute;
    const there = want.some(
      (p) =>
        p.driver === w.driver &&
        p.vehicle === w.vehicle &&
        p.hose === w.hose &&
        p.kind === kind &&
        p.at === at - (at % step),
    );
    expect(there, `${told} ${JSON.stringify(w)}`).toBe(true);
  }
}

describe('a difference of which a part is looked at', () => {
  it('equals the points of that part, by brute force, also after edits', () => {
    let looks = 0;
    let kept = 0;
    for (let seed = FROM; seed < FROM + FLEETS; seed++) {
      const step = stepOf(seed);
      const before = withDepartments(worldOf(seed));
      const after = withDepartments(changedFleet(before, worldOf(seed + 50_000), seeded(seed)));
      const running = reachTable(compile(before, zones), HORIZON, new Book());
      let live = last(LiveDifference.begin(running, running));
      const policy = revise(running.policy, after, zones);
      if (policy) kept++;
      if (!policy || !live.edit(revisedTable(running, policy)))
        live = last(LiveDifference.begin(running, reachTable(compile(after, zones), HORIZON, running.book)));
      const points = changedPoints(before, after, step);
      const all = [...everyPoint(live, productsOf(before, after), step)];
      const look = (told: string, to: Partial<Narrowing>, meant: (p: Omit<Point, 'kind'>) => boolean) => {
        const sections = sectionsOf(before, after, { ...NARROWED_TO_NOTHING, ...to });
        const found = last(narrowed(live, sections));
        expectAlike(found, points.filter(meant), step, `seed ${seed} ${told}`);
        expect(found.looked, `seed ${seed} ${told}`).toBe(BigInt(step * all.filter(meant).length));
        looks++;
      };
      look('all', {}, () => true);
      for (const driver of ids(before.drivers, after.drivers)) look(driver, { driver }, (p) => p.driver === driver);
      for (const vehicle of ids(before.vehicles, after.vehicles)) {
        look(vehicle, { vehicle }, (p) => p.vehicle === vehicle);
        for (const driver of ids(before.drivers, after.drivers).slice(0, 2))
          look(`${driver} with ${vehicle}`, { driver, vehicle }, (p) => p.driver === driver && p.vehicle === vehicle);
      }
      for (const hose of ids(before.hoses, after.hoses)) look(hose, { hoses: new Set([hose]) }, (p) => p.hose === hose);
      const rnd = seeded(seed + 900_000);
      for (let n = 0; n < 3; n++) {
        const from = Math.floor((rnd() * 9000) / step) * step;
        const span = { from, to: Math.min(10_080, from + step * (1 + Math.floor((rnd() * 2400) / step))) };
        const inside = ({ at }: Pick<Point, 'at'>) => {
          const minute = weekdayOf(Math.floor(at / 1440)) * 1440 + (at % 1440);
          return span.from <= minute && minute < span.to;
        };
        look(`${span.from} to ${span.to}`, { span }, inside);
        for (const driver of ids(after.drivers).slice(0, 1))
          look(`${driver} ${span.from} to ${span.to}`, { driver, span }, (p) => inside(p) && p.driver === driver);
      }
      for (const product of ids(after.products)) look(product, { product }, (p) => p.product === product);
      for (const id of ids(before.credentials, after.credentials)) {
        const named = [before, after].flatMap((f) => f.credentials.get(id) ?? []);
        const meant = points.filter((p) =>
          named.some(
            ({ driver, vehicle }) =>
              (driver !== null || vehicle !== null) &&
              (driver === null || p.driver === driver) &&
              (vehicle === null || p.vehicle === vehicle),
          ),
        );
        expectAlike(last(narrowed(live, sectionsOfCredential(before, after, id))), meant, step, `seed ${seed} ${id}`);
      }
      for (const department of ['D0', 'D1']) {
        const of = (table: 'drivers' | 'vehicles', id: string | null) =>
          id !== null && [before, after].some((f) => f[table].get(id)?.department === department);
        look(department, { department }, (p) => of('drivers', p.driver) || of('vehicles', p.vehicle));
      }
    }
    expect(looks).toBeGreaterThan(FLEETS * 8);
    expect(kept).toBeGreaterThan(FLEETS / 10);
  });
});

describe('the progress of a look at a part', () => {
  it('counts every place of every section, and ends short of all; what was looked at is counted over both', () => {
    const before = withDepartments(openWorld(3));
    const after = withDepartments(changedFleet(before, openWorld(50_003), seeded(3)));
    const running = reachTable(compile(before, zones), HORIZON, new Book());
    const draft = reachTable(compile(after, zones), HORIZON, running.book);
    const live = last(LiveDifference.begin(running, draft));
    const places = live.spots.length;
    expect(places).toBeGreaterThan(1);
    // A department is two sections: its drivers with anybody, and its vehicles with anybody else.
    const sections = sectionsOf(before, after, { ...NARROWED_TO_NOTHING, department: 'D0' });
    const steps = [...narrowed(live, sections)];
    expect(steps).toEqual(Array.from({ length: 2 * places }, (_, done) => ({ done, of: 2 * places })));
    // Whoever of the department can present themselves, with each of the others or nobody, at each hose and minute.
    const can = (table: 'drivers' | 'vehicles', of: 'driverOf' | 'vehicleOf') => {
      const all = ids(running[of], draft[of]);
      const own = all.filter((id) => [before, after].some((f) => f[table].get(id)?.department === 'D0'));
      return [own.length, all.length] as const;
    };
    const [[drivers, anyDriver], [vehicles, anyVehicle]] = [can('drivers', 'driverOf'), can('vehicles', 'vehicleOf')];
    expect([drivers, vehicles].every((n) => n > 0)).toBe(true);
    const pairs = drivers * (anyVehicle + 1) + (anyDriver - drivers + 1) * vehicles;
    const hoses = [running, draft].flatMap((t) => t.hoses.flatMap((h) => h.members.map((m) => m.row.id)));
    expect(last(narrowed(live, sections)).looked).toBe(BigInt(pairs * new Set(hoses).size * DAYS * 1440));
  });
});

describe('groups', () => {
  it('come largest first, also where their points are more than a number tells apart', () => {
    const sizes = [7n, 2n ** 60n, 2n ** 60n + 1n, 9n, 2n ** 60n - 1n].map((points) => ({
      points,
      rank: Number(points),
    }));
    const found = sizes.sort(largestFirst).map((g) => g.points);
    expect(found).toEqual([2n ** 60n + 1n, 2n ** 60n, 2n ** 60n - 1n, 9n, 7n]);
  });
});

describe('a site set against another', () => {
  it('equals brute force over the most that either gives of each product', () => {
    let pairs = 0;
    let changed = 0;
    for (let seed = FROM; seed < FROM + FLEETS * 3; seed++) {
      const step = stepOf(seed);
      const fleet = worldOf(seed);
      const [first, second] = [...fleet.sites.keys()];
      if (first === undefined || second === undefined) continue;
      pairs++;
      const policy = compile(fleet, zones);
      const { before, after, hoses } = sitePair(reachTable(policy, HORIZON), first, second);
      const { points, groups } = last(differenceOf(before, after));
      const access = bruteAccess(policy, fleet);
      const most = (pair: string, site: string, product: string, at: number) =>
        Math.max(
          0,
          ...[...fleet.hoses.values()]
            .filter((h) => h.site === site && h.product === product)
            .map((h) => access(pair, h.id, site, at)),
        );
      const want = { gained: 0n, lost: 0n, raised: 0n, lowered: 0n };
      for (const product of fleet.products.keys())
        for (const driver of ['', ...fleet.drivers.keys()])
          for (const vehicle of ['', ...fleet.vehicles.keys()])
            for (let minute = FIRST * 1440; minute < (FIRST + DAYS) * 1440; minute += step) {
              const [x, y] = [first, second].map((site) =>
                most(`${driver} ${vehicle}`, site, product, minute * 60_000),
              ) as [number, number];
              if (x !== y) want[kindOf(x, y)] += BigInt(step);
            }
      expect(points, `seed ${seed}`).toEqual(want);
      changed += groups.length;
      for (const { witness: w } of groups) {
        const sides = hoses.get(w.hose) ?? [null, null];
        const at = (w.day * 1440 + w.minute) * 60_000;
        const pair = `${w.driver ?? ''} ${w.vehicle ?? ''}`;
        expect(sides[0] === null ? 0 : access(pair, sides[0], first, at)).toBe(w.before);
        expect(sides[1] === null ? 0 : access(pair, sides[1], second, at)).toBe(w.after);
      }
    }
    expect(pairs).toBeGreaterThan(FLEETS / 2);
    expect(changed).toBeGreaterThan(FLEETS / 4);
  });
});
