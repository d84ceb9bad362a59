import { compile, type Policy } from '@fillwright/core/decide';
import type { Fleet } from '@fillwright/core/fleet';
import { Book, type Difference, differenceOf, reachTable } from '@fillwright/core/reach';
import type { ZoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { bruteAccess, changedFleet } from '../../test/brute-access.ts';
import { seeded, smallWorld } from '../../test/small-world.ts';

const FLEETS = Number(process.env.FILLWRIGHT_REACH_FLEETS ?? process.env.FILLWRIGHT_BRUTE_FLEETS ?? 120);
/** CI asks for 20,000 fleets, a night for more. */
const PATIENCE = Math.max(900_000, FLEETS * 60);
/** The first seed, so that long runs go on where they stopped. */
const FROM = Number(process.env.FILLWRIGHT_REACH_FROM ?? 1);
const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const FIRST = Date.UTC(2026, 2, 6) / 86_400_000;
const DAYS = 4;
/** The small worlds' windows begin and end on half hours. */
const STEP = 30;

function run(before: Fleet, after: Fleet): { difference: Difference; old: Policy; next: Policy } {
  const book = new Book();
  const old = compile(before, () => UTC);
  const next = compile(after, () => UTC);
  const horizon = [FIRST, FIRST + DAYS - 1] as const;
  const steps = differenceOf(reachTable(old, horizon, book), reachTable(next, horizon, book));
  for (;;) {
    const step = steps.next();
    if (step.done) return { difference: step.value, old, next };
  }
}

describe('difference', () => {
  it('equals brute force over every point, and every witness is confirmed by decide on both sides', {
    timeout: PATIENCE,
  }, () => {
    let groups = 0;
    for (let seed = FROM; seed < FROM + FLEETS; seed++) {
      const before = smallWorld(seed).fleet;
      const after = changedFleet(before, smallWorld(seed + 50_000).fleet, seeded(seed));
      const { difference, old, next } = run(before, after);
      const [was, is] = [bruteAccess(old, before), bruteAccess(next, after)];
      const want = { gained: 0n, lost: 0n, raised: 0n, lowered: 0n };
      const drivers = ['', ...new Set([...before.drivers.keys(), ...after.drivers.keys()])];
      const vehicles = ['', ...new Set([...before.vehicles.keys(), ...after.vehicles.keys()])];
      for (const hose of new Set([...before.hoses.keys(), ...after.hoses.keys()])) {
        const [siteBefore, siteAfter] = [before.hoses.get(hose)?.site ?? '', after.hoses.get(hose)?.site ?? ''];
        for (const d of drivers) {
          for (const v of vehicles) {
            for (let day = FIRST; day < FIRST + DAYS; day++) {
              for (let minute = 0; minute < 1440; minute += STEP) {
                const at = (day * 1440 + minute) * 60_000;
                const x = was(`${d} ${v}`, hose, siteBefore, at);
                const y = is(`${d} ${v}`, hose, siteAfter, at);
                if (x === y) continue;
                want[x === 0 ? 'gained' : y === 0 ? 'lost' : y > x ? 'raised' : 'lowered'] += BigInt(STEP);
              }
            }
          }
        }
      }
      expect(difference.points, `seed ${seed}`).toEqual(want);
      expect(difference.groups.reduce((n, g) => n + g.points, 0n)).toBe(
        Object.values(want).reduce((n, p) => n + p, 0n),
      );
      for (const g of difference.groups) {
        groups++;
        const { witness: w } = g;
        const at = (w.day * 1440 + w.minute) * 60_000;
        const pair = `${w.driver ?? ''} ${w.vehicle ?? ''}`;
        const told = `seed ${seed} ${g.kind} ${JSON.stringify(w)}`;
        expect(was(pair, w.hose, before.hoses.get(w.hose)?.site ?? '', at), told).toBe(w.before);
        expect(is(pair, w.hose, after.hoses.get(w.hose)?.site ?? '', at), told).toBe(w.after);
      }
    }
    expect(groups).toBeGreaterThan(FLEETS / 4);
  });

  it('finds nothing between a fleet and itself', () => {
    for (let seed = 1; seed <= 50; seed++) {
      const { fleet } = smallWorld(seed);
      expect(run(fleet, fleet).difference.groups).toEqual([]);
    }
  });
});
