import { compile, decide, NO_USAGE, revise } from '@fillwright/core/decide';
import { type AnyRow, type Fleet, rowsOf } from '@fillwright/core/fleet';
import {
  accessOf,
  Book,
  type Difference,
  differenceOf,
  LiveDifference,
  presentedBy,
  reachTable,
  revisedTable,
  stretchAt,
} from '@fillwright/core/reach';
import { weekdayOf, type ZoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { edited, last } from '../../test/edited.ts';
import { plausibleAnswers, seeded, smallWorld } from '../../test/small-world.ts';

const FLEETS = Number(process.env.FILLWRIGHT_LIVE_FLEETS ?? 60);
/** The first seed, so that long runs go on where they stopped. */
const FROM = Number(process.env.FILLWRIGHT_REACH_FROM ?? 1);
const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const FIRST = Date.UTC(2026, 2, 6) / 86_400_000;
const HORIZON = [FIRST, FIRST + 9] as const;
const zones = () => UTC;

/** Everything of a difference in words that do not depend on the order in which reasons were met. */
function told(difference: Difference, book: Book): string[] {
  const why = (n: number) => JSON.stringify(book.reasons[n] ?? null);
  const list = (names: Iterable<string>) => [...names].sort().join();
  return difference.groups
    .map((g) => {
      const { driversAlone, vehiclesAlone, together } = g.who;
      const who = [driversAlone, vehiclesAlone, together.drivers, together.vehicles].map(list).join(' / ');
      return `${g.kind} ${g.product} ${why(g.whyBefore)} ${why(g.whyAfter)} ${g.points} ${who} ${list(g.sites)} ${list(g.hoses)} ${g.before} ${g.after} ${g.drivers.size} ${g.vehicles.size}`;
    })
    .sort();
}

describe('a difference kept while the draft is edited', () => {
  it('equals one made anew after every edit', () => {
    let kept = 0;
    let anew = 0;
    let groups = 0;
    for (let seed = FROM; seed < FROM + FLEETS; seed++) {
      const random = seeded(seed);
      const running = smallWorld(seed).fleet;
      const before = reachTable(compile(running, zones), HORIZON, new Book());
      let fleet = running;
      let after = before;
      let live = last(LiveDifference.begin(before, after));
      for (let n = 0; n < 12; n++) {
        fleet = edited(fleet, smallWorld(seed + 1000 * (1 + Math.floor(random() * 3))).fleet, random);
        const policy = revise(after.policy, fleet, zones);
        if (policy) {
          after = revisedTable(after, policy);
          expect(live.edit(after)).toBe(true);
          kept++;
        } else {
          after = reachTable(compile(fleet, zones), HORIZON, before.book);
          expect(live.edit(after)).toBe(false);
          live = last(LiveDifference.begin(before, after));
          anew++;
        }
        const fresh = reachTable(compile(fleet, zones), HORIZON, before.book);
        const want = last(differenceOf(before, fresh));
        const got = live.difference();
        const at = `seed ${seed} edit ${n}`;
        expect(got.points, at).toEqual(want.points);
        expect(got.looked, at).toBe(want.looked);
        groups += got.groups.length;
        // What is kept of groups that nobody asks about is dropped: a few are asked about, then all, then none.
        if (random() < 0.3) {
          for (const g of got.groups.slice(0, 3)) expect(g.drivers.size + g.vehicles.size, at).toBeGreaterThan(0);
          continue;
        }
        expect(told(got, before.book), at).toEqual(told(want, before.book));
        for (const g of got.groups) {
          const w = g.witness;
          expect(w.driver === null || [...g.drivers].includes(w.driver), at).toBe(true);
          expect(w.vehicle === null || [...g.vehicles].includes(w.vehicle), at).toBe(true);
          expect([...g.hoses], at).toContain(w.hose);
        }
      }
    }
    expect(kept).toBeGreaterThan(FLEETS * 6);
    expect(anew).toBeGreaterThan(0);
    expect(groups).toBeGreaterThan(FLEETS);
  });
});

describe('the rule that decides', () => {
  it('is the one that decide names, also among equals', () => {
    let named = 0;
    for (let seed = FROM; seed < FROM + FLEETS; seed++) {
      const { fleet } = smallWorld(seed);
      // Quantities of few sizes, so that many are equal.
      const few = (row: AnyRow): AnyRow => {
        const out: Record<string, unknown> = { ...row };
        for (const key of ['perFill', 'perDay', 'mostPerFill', 'capacity'])
          if (typeof out[key] === 'number') out[key] = (1 + ((out[key] as number) % 2)) * 40_000_000;
        return out as unknown as AnyRow;
      };
      const next: Record<string, unknown> = { ...fleet };
      for (const table of ['allowances', 'hoses', 'vehicles'] as const)
        next[table] = new Map([...rowsOf(fleet, table)].map(([id, row]) => [id, few(row)]));
      const equal = next as unknown as Fleet;
      const policy = compile(equal, zones);
      const table = reachTable(policy, HORIZON);
      const answers = plausibleAnswers(equal);
      const empty = reachTable(compile({ ...equal, hoses: new Map() }, zones), HORIZON, table.book);
      const groups = last(differenceOf(empty, table)).groups;
      for (const { witness: w, whyAfter, kind } of groups) {
        if (kind !== 'gained') continue;
        const cards = [...policy.cards].filter(([, c]) => c !== null);
        const single = (d: string | null, v: string | null) =>
          cards.find(([, c]) => c?.driverId === d && c.vehicleId === v)?.[0];
        const way = [w.driver && single(w.driver, null), w.vehicle && single(null, w.vehicle)].filter((n) => !!n);
        const credentials = way as string[];
        if (credentials.length !== (w.driver ? 1 : 0) + (w.vehicle ? 1 : 0)) continue;
        const site = equal.hoses.get(w.hose)?.site ?? '';
        const request = {
          site,
          hose: w.hose,
          at: (w.day * 1440 + w.minute) * 60_000,
          credentials,
          pin: 'right' as const,
          answers,
        };
        const decision = decide(policy, request, NO_USAGE);
        if (!decision.approved) continue;
        const reason = table.book.reasons[whyAfter];
        expect([reason?.rule, reason?.allowance], `seed ${seed} ${JSON.stringify(request)}`).toEqual([
          decision.by.rule,
          decision.by.on?.table === 'allowances' ? decision.by.on.id : null,
        ]);
        const who = presentedBy(table, credentials);
        const hose = table.hoses.find((h) => h.members.some((m) => m.row.id === w.hose));
        const steps = who && hose && accessOf(table, who, hose);
        expect(steps?.why[stretchAt(steps, weekdayOf(w.day) * 1440 + w.minute)]).toBe(whyAfter);
        named++;
      }
    }
    expect(named).toBeGreaterThan(FLEETS / 4);
  });
});
