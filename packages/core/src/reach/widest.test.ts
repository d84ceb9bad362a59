import { compile, decide, LEAST_USEFUL, NO_USAGE } from '@fillwright/core/decide';
import { accessOf, type PartyClass, possible, presentedBy, reachTable } from '@fillwright/core/reach';
import type { ZoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { plausibleAnswers, smallWorld } from '../../test/small-world.ts';

const FLEETS = Number(process.env.FILLWRIGHT_REACH_FLEETS ?? 500);
const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const FIRST = Date.UTC(2026, 2, 5) / 86_400_000;
const LAST = FIRST + 6;

/** What happens at the points where something can change, by trying every way of presenting at every hose. */
function tried(seed: number) {
  const { fleet } = smallWorld(seed);
  const policy = compile(fleet, () => UTC);
  const table = reachTable(policy, [FIRST, LAST]);
  const answers = plausibleAnswers(fleet);
  const decides = new Set<string>();
  const draws = new Set<PartyClass>();
  const drawn = new Set<string>();
  const numbers = [...new Set([...fleet.credentials.values()].map((c) => c.number))];
  const ways = numbers.flatMap((a) => [[a], ...numbers.filter((b) => b > a).map((b) => [a, b])]);
  for (const hose of table.hoses) {
    for (const way of ways) {
      const who = presentedBy(table, way);
      const steps = who && accessOf(table, who, hose);
      if (!who || !steps || steps.top < LEAST_USEFUL) continue;
      for (let day = FIRST; day <= LAST; day++) {
        for (const from of steps.from) {
          const at = (day * 1440 + (from % 1440)) * 60_000;
          const one = hose.members[0]?.row.id as string;
          const d = decide(
            policy,
            { site: hose.siteId, hose: one, at, credentials: way, pin: 'right', answers },
            NO_USAGE,
          );
          if (!d.approved) continue;
          drawn.add(one);
          for (const holder of [who.driver, who.vehicle]) if (holder) draws.add(holder);
          if (d.by.on?.table === 'allowances') decides.add(d.by.on.id);
        }
      }
    }
  }
  return { table, decides, draws, drawn };
}

describe('what can happen at all', () => {
  it('never calls impossible what happens, and calls all else impossible where no dates part people', () => {
    let alike = 0;
    let idle = 0;
    for (let seed = 1; seed <= FLEETS; seed++) {
      const { table, decides, draws, drawn } = tried(seed);
      const can = possible(table);
      for (const id of decides) expect(can.decides, `seed ${seed}: ${id} decides`).toContain(id);
      for (const id of can.decides) expect(can.leads, `seed ${seed}: ${id} leads`).toContain(id);
      const classes = [...table.drivers, ...table.vehicles];
      for (const c of classes) if (draws.has(c)) expect(can.draws.has(c), `seed ${seed}: ${c.key}`).toBe(true);
      for (const h of table.hoses)
        if (drawn.has(h.members[0]?.row.id as string)) expect(can.drawn.has(h), `seed ${seed}`).toBe(true);
      const parted = classes.some((c) => c.days.length > 0 && c.days.join() !== `${FIRST},${LAST}`);
      if (parted || table.hoses.some((h) => h.closed.length > 0)) continue;
      alike++;
      idle += [...can.leads].filter((id) => !can.decides.has(id)).length;
      expect([...can.decides].sort(), `seed ${seed}`).toEqual([...decides].sort());
      expect(can.draws).toEqual(draws);
      expect([...can.drawn].map((h) => h.members[0]?.row.id).sort()).toEqual([...drawn].sort());
    }
    expect(alike).toBeGreaterThan(FLEETS / 10);
    expect(idle).toBeGreaterThan(0);
  });
});
