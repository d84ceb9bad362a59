import { compile, decide, LEAST_USEFUL, NO_USAGE } from '@fillwright/core/decide';
import { accessOf, holds, presentedBy, reachTable, stretchAt } from '@fillwright/core/reach';
import { weekdayOf, type ZoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { plausibleAnswers, smallWorld } from '../../test/small-world.ts';

/** Every point of small fleets: each way of presenting, each hose, each stretch's edges on each day of a fortnight around the clocks' change. */
const FLEETS = Number(process.env.FILLWRIGHT_REACH_FLEETS ?? process.env.FILLWRIGHT_BRUTE_FLEETS ?? 150);
/** CI asks for 20,000 fleets. */
const PATIENCE = 900_000;
/** The first seed, so that long runs go on where they stopped. */
const FROM = Number(process.env.FILLWRIGHT_REACH_FROM ?? 1);
const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const FIRST = Date.UTC(2026, 2, 5) / 86_400_000;
const LAST = FIRST + 6;

describe('reach', () => {
  it('equals decide at every point of small fleets', { timeout: PATIENCE }, () => {
    let points = 0;
    let open = 0;
    for (let seed = FROM; seed < FROM + FLEETS; seed++) {
      const world = smallWorld(seed);
      // Wall time is what rules speak of: with every site in UTC a moment and its wall time are the same thing.
      const policy = compile(world.fleet, () => UTC);
      const table = reachTable(policy, [FIRST, LAST]);
      const answers = plausibleAnswers(world.fleet);
      const numbers = [...new Set([...world.fleet.credentials.values()].map((c) => c.number))];
      const ways = numbers.flatMap((a) => [[a], ...numbers.filter((b) => b > a).map((b) => [a, b])]);
      for (const hose of world.fleet.hoses.values()) {
        const hc = table.hoses.find((h) => h.members.some((m) => m.row.id === hose.id));
        for (const way of ways) {
          const who = presentedBy(table, way);
          const steps = who && hc ? accessOf(table, who, hc) : null;
          const edges = new Set([0, 719, 1439, ...(steps?.from ?? []).flatMap((m) => [m % 1440, (m + 1439) % 1440])]);
          for (let day = FIRST; day <= LAST; day++) {
            for (const minute of edges) {
              const request = {
                site: hose.site,
                hose: hose.id,
                at: (day * 1440 + minute) * 60_000,
                credentials: way,
                pin: 'right' as const,
                answers,
              };
              const decision = decide(policy, request, NO_USAGE);
              const want = decision.approved ? decision.limit : 0;
              const allowed = who !== null && hc !== undefined && holds(who.days, day) && !holds(hc.closed, day);
              const room =
                steps && allowed ? (steps.room[stretchAt(steps, weekdayOf(day) * 1440 + minute)] as number) : 0;
              const got = room < LEAST_USEFUL ? 0 : room;
              if (got !== want)
                expect(got, `seed ${seed} ${JSON.stringify(request)} ${JSON.stringify(decision)}`).toBe(want);
              points++;
              if (want > 0) open++;
            }
          }
        }
      }
    }
    if (process.env.FILLWRIGHT_REACH_FLEETS) console.log(`${points} points of ${FLEETS} fleets from seed ${FROM}`);
    expect(points).toBeGreaterThan(FLEETS * 100);
    expect(open).toBeGreaterThan(points / 100);
  });
});
