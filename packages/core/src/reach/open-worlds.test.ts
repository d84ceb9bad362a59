import { compile, decide, LEAST_USEFUL, NO_USAGE, revise } from '@fillwright/core/decide';
import { type AnyRow, type Fleet, rowsOf, type TableName } from '@fillwright/core/fleet';
import {
  accessOf,
  Book,
  differenceOf,
  holds,
  LiveDifference,
  presentedBy,
  reachTable,
  revisedTable,
  stretchAt,
} from '@fillwright/core/reach';
import { weekdayOf, type ZoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { changedFleet } from '../../test/brute-access.ts';
import { last } from '../../test/edited.ts';
import { OPEN_STEP, openWorld, withPairs, withTwins } from '../../test/open-world.ts';
import { changedPoints, meant, pairsMet, said, sorted } from '../../test/points.ts';
import { seeded } from '../../test/small-world.ts';

const FLEETS = Number(process.env.FILLWRIGHT_OPEN_FLEETS ?? 50);
const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const zones = () => UTC;
const FIRST = Date.UTC(2026, 2, 6) / 86_400_000;
const DAYS = 3;
const HORIZON = [FIRST, FIRST + DAYS - 1] as const;

const ids = (...maps: ReadonlyMap<string, unknown>[]) => [...new Set(maps.flatMap((m) => [...m.keys()]))];

describe('fleets in which most is open', () => {
  it('have the reach that decide gives, with the rule that it names, also among equals', () => {
    let open = 0;
    for (let seed = 1; seed <= FLEETS; seed++) {
      const fleet = openWorld(seed);
      const policy = compile(fleet, zones, new Set(seed % 4 === 2 ? ['100'] : []));
      const table = reachTable(policy, HORIZON);
      const numbers = [...fleet.credentials.values()].map((c) => c.number);
      for (const hose of table.hoses)
        for (const a of numbers)
          for (const b of numbers) {
            const credentials = a === b ? [a] : [a, b];
            const who = presentedBy(table, credentials);
            const steps = who && accessOf(table, who, hose);
            for (let minute = FIRST * 1440; minute < (FIRST + 1) * 1440; minute += OPEN_STEP) {
              const [id, site] = [hose.members[0]?.row.id ?? '', hose.siteId];
              const request = { site, hose: id, at: minute * 60_000, credentials, pin: 'right', answers: {} } as const;
              const d = decide(policy, request, NO_USAGE);
              const week = weekdayOf(FIRST) * 1440 + (minute % 1440);
              const n = steps ? stretchAt(steps, week) : -1;
              if (!d.approved) {
                if (d.by.rule === 'card-stopped') expect(who).toBeNull();
                const comes = who && holds(who.days, FIRST) && !holds(hose.closed, FIRST);
                const room = (comes && steps?.room[n]) || 0;
                expect(room, `seed ${seed} ${JSON.stringify(request)}`).toBeLessThan(LEAST_USEFUL);
                continue;
              }
              open++;
              const reason = table.book.reasons[steps?.why[n] ?? -1];
              expect(
                { limit: steps?.room[n], rule: reason?.rule, of: reason?.allowance },
                `seed ${seed} ${JSON.stringify(request)}`,
              ).toEqual({
                limit: d.limit,
                rule: d.by.rule,
                of: d.by.on?.table === 'allowances' ? d.by.on.id : null,
              });
            }
          }
    }
    expect(open).toBeGreaterThan(FLEETS * 20);
  });

  it('differ as brute force says: points, rules, people alone and together, places, quantities', () => {
    let each = 0;
    let groups = 0;
    let paired = 0;
    for (let seed = 1; seed <= 3 * FLEETS; seed++) {
      const world = (n: number) => (seed % 5 === 1 ? withPairs(openWorld(n), n, 0.6) : openWorld(n));
      const before = world(seed);
      const changed = changedFleet(before, world(seed + 50_000), seeded(seed));
      // Now and then only places change, so that people meet them as before.
      const after = seed % 4 ? changed : { ...before, sites: changed.sites, hoses: changed.hoses };
      const book = new Book();
      const table = reachTable(compile(before, zones), HORIZON, book);
      const next = reachTable(compile(after, zones), HORIZON, book);
      const difference = last(differenceOf(table, next));
      const people = (of: 'driverOf' | 'vehicleOf') => new Set([...table[of].keys(), ...next[of].keys()]).size;
      const hoses = new Set([table, next].flatMap((t) => t.hoses.flatMap((h) => h.members.map((m) => m.row.id)))).size;
      // With nobody on either side, but not on both.
      const pairs = (people('driverOf') + 1) * (people('vehicleOf') + 1) - 1;
      expect(difference.looked).toBe(BigInt(pairs * hoses * DAYS * 1440));
      const want = changedPoints(before, after, HORIZON);
      const met = pairsMet(want.points);
      const got = said(difference, book);
      if ([before, after].some((f) => [...f.credentials.values()].some((c) => c.driver && c.vehicle))) paired++;
      expect(sorted(got.all), `seed ${seed}`).toEqual(sorted(meant(want.points)));
      for (const [n, g] of difference.groups.entries()) {
        groups++;
        const { witness: w } = g;
        const [pair, at] = [`${w.driver ?? ''} ${w.vehicle ?? ''}`, (w.day * 1440 + w.minute) * 60_000];
        expect([want.was(pair, w.hose, at).limit, want.is(pair, w.hose, at).limit], `seed ${seed}`).toEqual([
          w.before,
          w.after,
        ]);
        const key = got.keys[n] as string;
        if (got.keys.filter((k) => k === key).length > 1) continue;
        const { drivers, vehicles, each: all } = g.who.together;
        const most = drivers.size * vehicles.size;
        if (most > 0 && (met.each.get(key) ?? 0) >= most) expect(all, `seed ${seed} ${key}`).toBe(true);
        if (most > 0 && all) {
          each++;
          expect(met.ever.get(key), `seed ${seed} ${key}`).toBe(most);
        }
      }
    }
    expect(groups).toBeGreaterThan(FLEETS);
    expect(each).toBeGreaterThan(FLEETS / 8);
    expect(paired).toBeGreaterThan(FLEETS / 4);
  });

  it('differ after every edit as they do anew', () => {
    let kept = 0;
    for (let seed = 1; seed <= FLEETS; seed++) {
      const random = seeded(seed);
      const world = (n: number) => (seed % 5 === 1 ? withPairs(openWorld(n), n, 0.6) : openWorld(n));
      const running = world(seed);
      const before = reachTable(compile(running, zones), HORIZON, new Book());
      const live = last(LiveDifference.begin(before, before));
      let fleet = running;
      let after = before;
      for (let n = 0; n < 6; n++) {
        const tables: TableName[] = [
          'sites',
          'hoses',
          'allowances',
          'drivers',
          'vehicles',
          'credentials',
          'credentials',
        ];
        const table = tables[Math.floor(random() * 7)] as TableName;
        // As many cards of pairs, and as many hoses, as the first has.
        const other = world(seed + 1005 * (1 + Math.floor(random() * 3)));
        const rows = new Map<string, AnyRow>(rowsOf(fleet, table));
        const known = ids(rows, rowsOf(other, table));
        const id = known[Math.floor(random() * known.length)] ?? '';
        const row = rowsOf(other, table).get(id);
        if (row && random() < 0.8) rows.set(id, row);
        else if (table !== 'sites') rows.delete(id);
        const policy = revise(after.policy, { ...fleet, [table]: rows } as Fleet, zones);
        if (!policy) continue;
        kept++;
        fleet = policy.fleet;
        after = revisedTable(after, policy);
        expect(live.edit(after)).toBe(true);
        const want = said(
          last(differenceOf(before, reachTable(compile(fleet, zones), HORIZON, before.book))),
          before.book,
        );
        expect(sorted(said(live.difference(), before.book).all), `seed ${seed} edit ${n}`).toEqual(sorted(want.all));
      }
    }
    expect(kept).toBeGreaterThan(FLEETS * 3);
  });

  it('differ after every edit as they do anew where people who are alike share cards with some and come and go', () => {
    let kept = 0;
    for (let seed = 1; seed <= FLEETS; seed++) {
      const random = seeded(seed);
      const pick = <T>(list: Iterable<T>): T => {
        const all = [...list];
        return all[Math.floor(random() * all.length)] as T;
      };
      const running = withPairs(withTwins(openWorld(seed)), seed, 0.1);
      const before = reachTable(compile(running, zones), HORIZON, new Book());
      const changed = changedFleet(running, withPairs(withTwins(openWorld(seed + 50_000)), seed + 1, 0.1), random);
      let after = reachTable(compile(changed, zones), HORIZON, before.book);
      const live = last(LiveDifference.begin(before, after));
      said(live.difference(), before.book);
      for (let n = 0; n < 8; n++) {
        const { fleet } = after.policy;
        const table = pick(['drivers', 'vehicles', 'credentials'] as const);
        const rows = new Map<string, AnyRow>(rowsOf(fleet, table));
        const [id, row] = pick(rows) as [string, AnyRow & { active?: boolean; driver?: string | null }];
        if (table !== 'credentials') rows.set(id, { ...row, active: !row.active } as AnyRow);
        else if (row.driver === null || random() < 0.3) rows.delete(id);
        else rows.set(id, { ...row, driver: pick(fleet.drivers.keys()) } as AnyRow);
        const policy = revise(after.policy, { ...fleet, [table]: rows } as Fleet, zones);
        if (!policy) continue;
        kept++;
        after = revisedTable(after, policy);
        expect(live.edit(after)).toBe(true);
        const anew = last(differenceOf(before, reachTable(compile(policy.fleet, zones), HORIZON, before.book)));
        expect(sorted(said(live.difference(), before.book).all), `seed ${seed} edit ${n}`).toEqual(
          sorted(said(anew, before.book).all),
        );
      }
    }
    expect(kept).toBeGreaterThan(FLEETS * 4);
  });
});
