import { compile, revise } from '@fillwright/core/decide';
import type { Fleet } from '@fillwright/core/fleet';
import {
  Book,
  LiveDifference,
  NARROWED_TO_NOTHING,
  type Narrowing,
  narrowed,
  reachTable,
  revisedTable,
  sectionsOf,
} from '@fillwright/core/reach';
import { weekdayOf, type ZoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { changedFleet } from '../../test/brute-access.ts';
import { edited, last } from '../../test/edited.ts';
import { OPEN_STEP, openWorld, withPairs, withTwins } from '../../test/open-world.ts';
import { changedPoints, meant, type Point, said, sorted } from '../../test/points.ts';
import { seeded } from '../../test/small-world.ts';

const FLEETS = Number(process.env.FILLWRIGHT_WEEK_FLEETS ?? 24);
const FROM = Number(process.env.FILLWRIGHT_REACH_FROM ?? 1);
const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const zones = () => UTC;
const FIRST = Date.UTC(2026, 2, 6) / 86_400_000;
/** Friday to Friday: the cells of Fridays stand for two days, all others for one. */
const HORIZON = [FIRST, FIRST + 7] as const;

/** Fleets in which most is open, in which cards name pairs, and in which people are alike; hours begin and end where cells do. */
function worldOf(seed: number, n: number): Fleet {
  if (seed % 4 === 0) return withPairs(openWorld(n), n, 0.5);
  if (seed % 4 === 1) return withPairs(withTwins(openWorld(n)), n, 0.15);
  return openWorld(n);
}

const minuteOf = ({ at }: Point) => weekdayOf(Math.floor(at / 1440)) * 1440 + (at % 1440);
const ids = (...maps: ReadonlyMap<string, unknown>[]) => [...new Set(maps.flatMap((m) => [...m.keys()]))];
const named = (points: readonly Point[], side: 'driver' | 'vehicle') =>
  [...new Set(points.flatMap((p) => p[side] ?? []))].sort();

describe('the names behind a cell of the week', () => {
  it('are those people, vehicles and pairs that have a point in it, and no other', () => {
    let [cells, pairs, kept] = [0, 0, 0];
    for (let seed = FROM; seed < FROM + FLEETS; seed++) {
      const random = seeded(seed);
      const before = worldOf(seed, seed);
      const book = new Book();
      const running = reachTable(compile(before, zones), HORIZON, book);
      let after = changedFleet(before, worldOf(seed, seed + 50_000), random);
      let next = reachTable(compile(after, zones), HORIZON, book);
      const live = last(LiveDifference.begin(running, next));
      // Of every other fleet the draft is edited on, with what is read of it in between.
      for (let n = 0; n < 4 && seed % 2 === 0; n++) {
        for (const group of live.difference().groups)
          expect(group.drivers.size + group.vehicles.size).toBeGreaterThan(0);
        const changed = edited(after, worldOf(seed, seed + 70_000 + n), random);
        const policy = revise(next.policy, changed, zones);
        if (!policy) continue;
        [after, next] = [changed, revisedTable(next, policy)];
        expect(live.edit(next)).toBe(true);
        kept++;
      }
      const { points } = changedPoints(before, after, HORIZON);
      const look = (told: string, to: Partial<Narrowing>, of: readonly Point[]) => {
        const found = last(narrowed(live, sectionsOf(before, after, { ...NARROWED_TO_NOTHING, ...to })));
        expect(sorted(said(found, book).all), told).toEqual(sorted(meant(of)));
        const touched = found.touched();
        expect([...touched.drivers].sort(), told).toEqual(named(of, 'driver'));
        expect([...touched.vehicles].sort(), told).toEqual(named(of, 'vehicle'));
      };
      for (let from = 0; from < 10_080; from += OPEN_STEP) {
        const span = { from, to: from + OPEN_STEP };
        const there = points.filter((p) => minuteOf(p) === from);
        look(`seed ${seed} cell ${from}`, { span }, there);
        if (there.length === 0) continue;
        cells++;
        // With whom each of them has it: the vehicles that are named beside one driver are the pairs.
        for (const driver of ids(before.drivers, after.drivers)) {
          const own = there.filter((p) => p.driver === driver);
          look(`seed ${seed} cell ${from} ${driver}`, { span, driver }, own);
          pairs += new Set(own.flatMap((p) => p.vehicle ?? [])).size;
        }
      }
    }
    expect(cells).toBeGreaterThan(FLEETS * 4);
    expect(pairs).toBeGreaterThan(FLEETS * 10);
    expect(kept).toBeGreaterThan(FLEETS / 2);
  });
});
