import { describe, expect, it } from 'vitest';
import { seeded, smallWorld } from '../../test/small-world.ts';
import { type AnyRow, type Fleet, rowsOf, type TableName } from '../fleet/index.ts';
import { zoneTable } from '../units/index.ts';
import { decide, plain } from './decide.ts';
import { compile, type Holder, type Policy } from './policy.ts';
import { revise } from './revise.ts';
import type { Zones } from './types.ts';

const tables = new Map<string, ReturnType<typeof zoneTable>>();
const zones: Zones = (zone) => {
  const known = tables.get(zone) ?? zoneTable(zone, 2025, 2028);
  tables.set(zone, known);
  return known;
};
const EDITED = ['sites', 'questions', 'hoses', 'allowances', 'drivers', 'vehicles', 'credentials'] as const;

/** One to three rows of one or two tables taken from another fleet, changed in a field, taken away or put back. */
function edited(fleet: Fleet, other: Fleet, random: () => number): Fleet {
  const next: Record<string, unknown> = { ...fleet };
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)] as T;
  for (let n = 1 + Math.floor(random() * 2); n > 0; n--) {
    const table: TableName = random() < 0.08 ? pick(['sites', 'questions']) : pick(EDITED.slice(2));
    const rows = new Map<string, AnyRow>(next[table] as ReadonlyMap<string, AnyRow>);
    const id = pick([...new Set([...rows.keys(), ...rowsOf(other, table).keys()])]);
    const row = rowsOf(other, table).get(id);
    if (row && random() < 0.8) rows.set(id, row);
    else rows.delete(id);
    next[table] = rows;
  }
  return next as unknown as Fleet;
}

/** A holder without the places of sites and products, which need not be alike in two policies. */
const told = (p: Policy, { terms, sites, questions, ...rest }: Holder) => ({
  ...rest,
  terms: terms.map((t) => [t.row, t.counts, t.open && [...t.open]]),
  questions: questions.map((q) => q.id),
  sites: sites && [...p.makers.siteAt].filter(([, n]) => sites[n] === 1).map(([id]) => id),
});

describe('a policy that grew by edits', () => {
  it('is what compiling anew gives, keeps what did not change, and is refused where places or questions moved', () => {
    const seen = { revised: 0, anew: 0, kept: 0, cards: 0 };
    for (let seed = 1; seed <= 25; seed++) {
      const random = seeded(seed + 7000);
      let policy = compile(smallWorld(seed).fleet, zones, new Set(['101']));
      for (let n = 0; n < 15; n++) {
        const was = policy.fleet;
        // Whoever was asked for before an edit is kept, and whoever was not is none the less the same.
        if (n % 2 === 0)
          for (const asked of [policy.drivers, policy.vehicles]) expect([...asked.values()]).toHaveLength(asked.size);
        const other = smallWorld(seed + 1000 * (1 + Math.floor(random() * 3)));
        const fleet = edited(was, other.fleet, random);
        const revised = revise(policy, fleet, zones);
        const fresh = compile(fleet, zones, policy.stopped);
        const ids = (of: Fleet) => [...of.sites.keys()].sort().join();
        const product = [...fleet.hoses.values()].some((h) => !policy.makers.productAt.has(h.product));
        const questions = [...new Set([...was.questions.keys(), ...fleet.questions.keys()])];
        const asked = questions.some((q) => was.questions.get(q) !== fleet.questions.get(q));
        expect(revised === null, `seed ${seed} edit ${n}`).toBe(ids(was) !== ids(fleet) || product || asked);
        if (!revised) {
          policy = fresh;
          seen.anew++;
          continue;
        }
        seen.revised++;
        expect(revised.stopped).toBe(policy.stopped);
        for (const table of ['drivers', 'vehicles'] as const) {
          expect([...revised[table].keys()].sort()).toEqual([...fresh[table].keys()].sort());
          for (const [id, holder] of revised[table]) {
            expect(told(revised, holder)).toEqual(told(fresh, fresh[table].get(id) as Holder));
            const row = fleet[table].get(id);
            const terms = (row?.allowances ?? []).every((a) => was.allowances.get(a) === fleet.allowances.get(a));
            if (row !== was[table].get(id) || !terms) continue;
            expect(holder, `seed ${seed} edit ${n} ${id}`).toBe(policy[table].get(id));
            seen.kept++;
          }
        }
        expect([...revised.cards.keys()].sort()).toEqual([...fresh.cards.keys()].sort());
        for (const [number, card] of revised.cards) {
          const anew = fresh.cards.get(number);
          const named = (c: typeof card | undefined) => c && { ...c, driver: c.driver?.id, vehicle: c.vehicle?.id };
          expect(named(card)).toEqual(named(anew));
          if (card?.driver) expect(card.driver).toBe(revised.drivers.get(card.driver.id));
          if (card?.vehicle) expect(card.vehicle).toBe(revised.vehicles.get(card.vehicle.id));
          const old = policy.cards.get(number);
          const rows = (of: Fleet) => [...of.credentials.values()].filter((c) => c.number === number);
          const [before, now] = [rows(was), rows(fleet)];
          if (!card || now[0] !== before[0] || now.length !== before.length) continue;
          if (card.driver !== old?.driver || card.vehicle !== old?.vehicle) continue;
          expect(card, `seed ${seed} edit ${n} ${number}`).toBe(old);
          seen.cards++;
        }
        expect([...revised.hoses.keys()]).toEqual([...fresh.hoses.keys()]);
        for (const [id, hose] of revised.hoses) {
          const same = hose.row === was.hoses.get(id) && hose.site === policy.sites.get(hose.row.site);
          expect(hose === policy.hoses.get(id), `seed ${seed} edit ${n} ${id}`).toBe(same);
          expect(hose.row).toBe(fleet.hoses.get(id));
          expect(hose.site).toBe(revised.sites.get(hose.row.site));
        }
        for (const [id, site] of revised.sites) {
          expect(site.row).toBe(fleet.sites.get(id));
          expect([site.closed, site.zone, site.questions]).toEqual([
            fresh.sites.get(id)?.closed,
            fresh.sites.get(id)?.zone,
            fresh.sites.get(id)?.questions,
          ]);
        }
        for (let i = 0; i < 4; i++) {
          const request = { ...other.request(), pin: 'right' as const };
          const usage = other.usage();
          expect(plain(decide(revised, request, usage))).toEqual(plain(decide(fresh, request, usage)));
        }
        policy = revised;
      }
    }
    expect(seen.revised).toBeGreaterThan(150);
    expect(seen.anew).toBeGreaterThan(10);
    expect(Math.min(seen.kept, seen.cards)).toBeGreaterThan(150);
  });

  it('is the same objects where nothing changed', () => {
    const policy = compile(smallWorld(5).fleet, zones);
    const { makers, ...rest } = policy;
    const again = revise(policy, { ...policy.fleet }, zones);
    expect(again?.makers).toBe(makers);
    for (const part of ['sites', 'hoses', 'cards', 'drivers', 'vehicles'] as const)
      expect(again?.[part], part).toBe(rest[part]);
  });
});
