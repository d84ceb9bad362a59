import { compile, decide, NO_USAGE } from '@fillwright/core/decide';
import {
  type About,
  type AccessRow,
  type AccessStatement,
  accessStatement,
  holds,
  reachTable,
  type Table,
} from '@fillwright/core/reach';
import { weekdayOf, type ZoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { plausibleAnswers, smallWorld } from '../../test/small-world.ts';

const FLEETS = Number(process.env.FILLWRIGHT_REACH_FLEETS ?? 80);
const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const FIRST = Date.UTC(2026, 2, 6) / 86_400_000;
const DAYS = 4;

function statementOf(table: Table, about: About): AccessStatement {
  const steps = accessStatement(table, about);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

describe('accessStatement', () => {
  it('says of every pair, hose, day and edge of the times what decide says', () => {
    let [points, open] = [0, 0];
    for (let seed = 1; seed <= FLEETS; seed++) {
      const { fleet } = smallWorld(seed + 900);
      const policy = compile(fleet, () => UTC);
      const table = reachTable(policy, [FIRST, FIRST + DAYS - 1]);
      const answers = plausibleAnswers(fleet);
      const cards = [...policy.cards].flatMap(([number, card]) => (card === null ? [] : [{ number, card }]));
      const ways = cards.flatMap((a) => cards.map((b) => (a === b ? [a] : [a, b])));
      for (const site of [...fleet.sites.values()].filter((s) => s.active)) {
        const said = statementOf(table, { kind: 'site', id: site.id }).sites[0]?.rows ?? [];
        const edges = new Set([
          0,
          1439,
          ...said.flatMap((r) => r.times.flatMap((s) => [s.from % 1440, (s.to + 1439) % 1440])),
        ]);
        for (const hose of [...fleet.hoses.values()].filter((h) => h.site === site.id && h.active)) {
          for (let day = FIRST; day < FIRST + DAYS; day++) {
            for (const minute of edges) {
              const most = new Map<string, number>();
              for (const way of ways) {
                const drivers = new Set(way.map((w) => w.card.driverId).filter((id) => id !== null));
                const vehicles = new Set(way.map((w) => w.card.vehicleId).filter((id) => id !== null));
                if (drivers.size > 1 || vehicles.size > 1) continue;
                const key = `${[...drivers][0] ?? ''} ${[...vehicles][0] ?? ''}`;
                const credentials = way.map((w) => w.number);
                const at = (day * 1440 + minute) * 60_000;
                const d = decide(
                  policy,
                  { site: site.id, hose: hose.id, at, credentials, pin: 'right', answers },
                  NO_USAGE,
                );
                most.set(key, Math.max(most.get(key) ?? 0, d.approved ? d.limit : 0));
              }
              for (const [key, limit] of most) {
                const [driver = '', vehicle = ''] = key.split(' ');
                const week = weekdayOf(day) * 1440 + minute;
                const rows = said.filter((r) => has(r, driver, vehicle) && r.hoses.includes(hose.id));
                const now = rows.filter(
                  (r) => holds(r.days, day) && r.times.some((s) => s.from <= week && week < s.to),
                );
                const tank = fleet.vehicles.get(vehicle)?.capacity ?? Number.MAX_SAFE_INTEGER;
                const told = Math.max(0, ...now.map((r) => Math.min(r.room, tank)));
                expect({ seed, key, hose: hose.id, day, minute, limit: told }).toEqual({
                  seed,
                  key,
                  hose: hose.id,
                  day,
                  minute,
                  limit,
                });
                points++;
                if (limit > 0) open++;
              }
            }
          }
        }
      }
    }
    expect(open).toBeGreaterThan(FLEETS * 4);
    expect(points).toBeGreaterThan(FLEETS * 60);
  });

  it('about a department, a driver or a vehicle is what the sites say of them, and names who draws nothing', () => {
    let named = 0;
    for (let seed = 1; seed <= FLEETS; seed++) {
      const { fleet } = smallWorld(seed + 2000);
      const table = reachTable(
        compile(fleet, () => UTC),
        [FIRST, FIRST + DAYS - 1],
      );
      for (const driver of fleet.drivers.keys()) {
        const own = points(statementOf(table, { kind: 'driver', id: driver }));
        const all = [...fleet.sites.keys()].flatMap((id) => [...points(statementOf(table, { kind: 'site', id }))]);
        expect([...own].sort()).toEqual([...new Set(all)].filter((p) => p.startsWith(`${driver}|`)).sort());
        const nothing = statementOf(table, { kind: 'driver', id: driver });
        if (own.size === 0) {
          expect(nothing.sites).toEqual([]);
          named++;
        }
      }
      for (const site of [...fleet.sites.values()].filter((s) => s.active)) {
        const [at] = statementOf(table, { kind: 'site', id: site.id }).sites;
        const can = new Set(at?.rows.flatMap((r) => r.drivers?.ids ?? (r.pair ? [r.pair[0]] : [])));
        const never = at?.never.flatMap((n) => n.drivers) ?? [];
        expect([...never, ...can].sort()).toEqual([...fleet.drivers.keys()].sort());
      }
    }
    expect(named).toBeGreaterThan(FLEETS / 8);
  });
});

function has(row: AccessRow, driver: string, vehicle: string): boolean {
  if (row.pair) return row.pair[0] === driver && row.pair[1] === vehicle;
  const in_ = (ids: readonly string[] | undefined, id: string) => (ids === undefined ? id === '' : ids.includes(id));
  return in_(row.drivers?.ids, driver) && in_(row.vehicles?.ids, vehicle);
}

/** A row as what it lets whom do, one for each pair, hose and stretch. */
function points(statement: AccessStatement): Set<string> {
  const out = new Set<string>();
  for (const site of statement.sites)
    for (const r of site.rows)
      for (const d of r.pair ? [r.pair[0]] : (r.drivers?.ids ?? ['']))
        for (const v of r.pair ? [r.pair[1]] : (r.vehicles?.ids ?? ['']))
          for (const h of r.hoses)
            for (const s of r.times) out.add([d, v, h, r.room, s.from, s.to, r.days.join()].join('|'));
  return out;
}
