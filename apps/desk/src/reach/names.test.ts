import { compile, decide, LEAST_USEFUL, NO_USAGE, type Policy } from '@fillwright/core/decide';
import { type Place, reachTable } from '@fillwright/core/reach';
import { weekdayOf } from '@fillwright/core/units';
import { expect, test } from 'vitest';
import { openWorld, withPairs } from '../../../../packages/core/test/open-world.ts';
import { plausibleAnswers, smallWorld } from '../../../../packages/core/test/small-world.ts';
import { nameOf } from '../data/name-of.ts';
import { UTC } from '../show/site-time.ts';
import { namesAt } from './names.ts';

const FIRST = Date.UTC(2026, 2, 5) / 86_400_000;
const FLEETS = Number(process.env.FILLWRIGHT_NAMES_FLEETS ?? 120);

/** By asking `decide` for every way of presenting one or two cards: who may draw at most how much, with those whom the place names. */
function byDecide(world: ReturnType<typeof smallWorld>, policy: Policy, place: Place, hose: string, minute: number) {
  const { fleet } = world;
  const answers = plausibleAnswers(fleet);
  const day = [0, 1, 2, 3, 4, 5, 6].map((n) => FIRST + n).find((d) => weekdayOf(d) === Math.floor(minute / 1440)) ?? 0;
  const at = (day * 1440 + (minute % 1440)) * 60_000;
  const numbers = [...new Set([...fleet.credentials.values()].map((c) => c.number))];
  const ways = numbers.flatMap((a) => [[a], ...numbers.filter((b) => b > a).map((b) => [a, b])]);
  const most = new Map<string, number>();
  const put = (kind: 'drivers' | 'vehicles', id: string, room: number) => {
    const key = `${kind} ${nameOf(fleet, kind, id)}`;
    most.set(key, Math.max(most.get(key) ?? 0, room));
  };
  for (const credentials of ways) {
    const decision = decide(policy, { site: place.site, hose, at, credentials, pin: 'right', answers }, NO_USAGE);
    if (!decision.approved || decision.limit < LEAST_USEFUL) continue;
    const { driver, vehicle, limit } = decision;
    const department = (kind: 'drivers' | 'vehicles', id: string) =>
      place.department === null || fleet[kind].get(id)?.department === place.department;
    if (place.driver !== null) {
      if (driver !== place.driver) continue;
      if (vehicle === undefined) put('drivers', driver, limit);
      else if (place.withAnybody) put('vehicles', vehicle, limit);
    } else if (place.vehicle !== null) {
      if (vehicle !== place.vehicle) continue;
      if (driver === undefined) put('vehicles', vehicle, limit);
      else if (place.withAnybody) put('drivers', driver, limit);
    } else {
      if (driver !== undefined && department('drivers', driver)) put('drivers', driver, limit);
      if (vehicle !== undefined && department('vehicles', vehicle)) put('vehicles', vehicle, limit);
    }
  }
  return most;
}

test('the names behind a cell are those whom decide lets draw, with the most that it lets through, for as long as it is said', () => {
  let named = 0;
  for (let seed = 1; seed <= FLEETS; seed++) {
    const small = smallWorld(seed);
    // Every third is a fleet in which most is open, and cards name some of the pairs.
    const open = seed % 3 === 0 ? withPairs(openWorld(seed), seed, 0.3) : null;
    const world = { ...small, fleet: open ?? small.fleet };
    const table = reachTable(
      compile(world.fleet, () => UTC),
      [FIRST, FIRST + 6],
    );
    const hoses = [...world.fleet.hoses.values()].filter((h) =>
      table.hoses.some((c) => c.members.some((m) => m.row.id === h.id)),
    );
    const departments = [...world.fleet.drivers.values()].map((d) => d.department);
    for (const { id: hose, site } of hoses) {
      const anybody = { site, driver: null, vehicle: null, department: null };
      const places: Place[] = [
        anybody,
        { ...anybody, department: departments[0] ?? 'none' },
        ...[...world.fleet.drivers.keys()].slice(0, 2).map((driver) => ({ ...anybody, driver, withAnybody: true })),
        ...[...world.fleet.vehicles.keys()].slice(0, 1).map((vehicle) => ({ ...anybody, vehicle, withAnybody: true })),
        ...[...world.fleet.drivers.keys()].slice(0, 1).map((driver) => ({ ...anybody, driver })),
      ];
      for (const place of places) {
        const minute = Math.floor(world.random() * 10_080);
        const { from, to, rows } = namesAt(table, place, hose, minute);
        expect(from).toBeLessThanOrEqual(minute);
        expect(to).toBeGreaterThan(minute);
        const got = new Map(rows.flatMap((r) => r.names.map((n) => [`${r.kind} ${n}`, r.room] as const)));
        for (const at of [minute, from, to - 1])
          expect(got, `seed ${seed} ${JSON.stringify(place)} ${minute} ${at}`).toEqual(
            byDecide(world, table.policy, place, hose, at),
          );
        expect(rows.reduce((n, r) => n + r.count, 0)).toBe(got.size);
        named += got.size;
      }
    }
  }
  expect(named).toBeGreaterThan(FLEETS * 2);
});
