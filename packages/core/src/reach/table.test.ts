import { compile, type Policy, revise, stopCredentials, unanswerable } from '@fillwright/core/decide';
import { type AnyRow, type Driver, type Fleet, rowsOf, type TableName, type Vehicle } from '@fillwright/core/fleet';
import { type PartyClass, reachTable, revisedTable, type Table } from '@fillwright/core/reach';
import { parseDate, type ZoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { openWorld } from '../../test/open-world.ts';
import { seeded, smallWorld } from '../../test/small-world.ts';
import { pairsOf } from './days.ts';

const FLEETS = 30;
const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const FIRST = Date.UTC(2026, 2, 6) / 86_400_000;
const DAYS = [0, 1, 2, 3].map((n) => FIRST + n);
const EDITED: readonly TableName[] = ['hoses', 'allowances', 'drivers', 'vehicles', 'credentials', 'sites'];
type Dates = { readonly validFrom: string | null; readonly validUntil: string | null };

const good = (day: number, ...rows: readonly Dates[]) =>
  rows.every(
    ({ validFrom: from, validUntil: until }) =>
      (from === null || (parseDate(from) as number) <= day) && (until === null || day <= (parseDate(until) as number)),
  );

/** What rules see of whoever may come, read from the rows: two of one word are of one class. */
function wordsOf({ fleet, cards, stopped }: Policy, kind: 'drivers' | 'vehicles'): Map<string, string[]> {
  const usable = [...fleet.credentials.values()].filter(
    (c) => cards.get(c.number) && !c.stopped && !stopped.has(c.number),
  );
  const words = new Map<string, string[]>();
  for (const row of fleet[kind].values() as Iterable<Driver | Vehicle>) {
    const named = usable.filter((c) => (kind === 'drivers' ? c.driver : c.vehicle) === row.id);
    const own = named.filter((c) => (kind === 'drivers' ? c.vehicle : c.driver) === null);
    const withAnother = named.filter((c) => fleet.drivers.has(c.driver ?? '') && fleet.vehicles.has(c.vehicle ?? ''));
    if (!row.active || own.length + withAnother.length === 0) continue;
    const word = JSON.stringify([
      [...new Set(row.allowances)].filter((a) => fleet.allowances.has(a)),
      row.sites && [...fleet.sites.keys()].filter((s) => row.sites?.includes(s)),
      DAYS.filter((d) => good(d, row) && own.some((c) => good(d, c))),
      'capacity' in row ? row.capacity : null,
      row.questions.some((q) => fleet.questions.has(q) && unanswerable(fleet.questions.get(q) as never)),
    ]);
    words.set(word, [...(words.get(word) ?? []), row.id].sort());
  }
  return words;
}

const membersOf = (c: PartyClass) => c.members.map((m) => m.id).sort();
const listed = (days: readonly number[]) => DAYS.filter((d) => [...pairsOf(days)].some(([a, b]) => a <= d && d <= b));

function expectTable(table: Table, indices: Map<string, number>, told: string): void {
  const { policy } = table;
  const { fleet } = policy;
  for (const kind of ['drivers', 'vehicles'] as const) {
    const [classes, of] = kind === 'drivers' ? [table.drivers, table.driverOf] : [table.vehicles, table.vehicleOf];
    const words = wordsOf(policy, kind);
    expect(classes.map(membersOf).map(String).sort(), told).toEqual([...words.values()].map(String).sort());
    expect([...of.keys()].sort(), told).toEqual([...words.values()].flat().sort());
    for (const [word, ids] of words) {
      const found = of.get(ids[0] as string) as PartyClass;
      const [terms, , days, capacity, mute] = JSON.parse(word);
      expect(ids.every((id) => of.get(id) === found) && classes.includes(found), told).toBe(true);
      expect([found.list.terms.map((t) => t.row.id), listed(found.days), found.capacity, found.mute], told).toEqual([
        ...[terms, days, capacity, mute],
      ]);
      expect(table.book.days.of(found.dayset)).toEqual(found.days);
      for (const m of found.members) expect(m, told).toBe(policy[kind].get(m.id));
      const key = `${kind} ${found.key}`;
      expect(found.index, told).toBe(indices.get(key) ?? found.index);
      indices.set(key, found.index);
    }
    expect(new Set(classes.map((c) => c.index)).size, told).toBe(classes.length);
  }
  const couples = [...fleet.credentials.values()].flatMap((c) => {
    const [driver, vehicle] = [fleet.drivers.get(c.driver ?? ''), fleet.vehicles.get(c.vehicle ?? '')];
    if (!driver?.active || !vehicle?.active || c.stopped || policy.stopped.has(c.number)) return [];
    if (!policy.cards.get(c.number)) return [];
    return [`${c.number} ${driver.id} ${vehicle.id} ${DAYS.filter((d) => good(d, c, driver, vehicle))}`];
  });
  expect(table.couples.map((c) => `${c.number} ${c.driverId} ${c.vehicleId} ${listed(c.days)}`).sort(), told).toEqual(
    couples.sort(),
  );
  for (const c of table.couples)
    expect([c.driver, c.vehicle], told).toEqual([table.driverOf.get(c.driverId), table.vehicleOf.get(c.vehicleId)]);
  const hoses = new Map<string, string[]>();
  for (const h of fleet.hoses.values()) {
    const site = fleet.sites.get(h.site);
    if (!h.active || !site?.active) continue;
    const word = `${h.site} ${h.product} ${h.mostPerFill} ${DAYS.filter((d) => site.closed.some((c) => parseDate(c) === d))}`;
    hoses.set(word, [...(hoses.get(word) ?? []), h.id].sort());
  }
  const hoseWords = table.hoses.map((h) => {
    const ids = h.members.map((m) => m.row.id).sort();
    return `${h.siteId} ${h.members[0]?.row.product} ${h.mostPerFill} ${listed(h.closed)}: ${ids}`;
  });
  expect(hoseWords.sort(), told).toEqual([...hoses].map(([word, ids]) => `${word}: ${ids}`).sort());
}

describe('a reach table', () => {
  it('has one class for all whom no rule tells apart, also after edits and stops, and classes keep their index', () => {
    let edits = 0;
    for (let seed = 1; seed <= FLEETS; seed++) {
      const random = seeded(seed);
      const world = (n: number) => (seed % 2 ? openWorld(n) : smallWorld(n).fleet);
      const below = (n: number) => Math.floor(random() * n);
      const zones = () => UTC;
      let table = reachTable(compile(world(seed), zones), [FIRST, FIRST + DAYS.length - 1]);
      const indices = new Map<string, number>();
      expectTable(table, indices, `seed ${seed}`);
      for (let n = 0; n < 10; n++) {
        const other = world(seed + 1000 * (1 + below(3)));
        const { policy } = table;
        let next: Policy | null = null;
        if (random() < 0.2) next = stopCredentials(policy, [String(100 + below(8))]);
        else {
          const kind = EDITED[below(EDITED.length)] as TableName;
          const rows = new Map<string, AnyRow>(rowsOf(policy.fleet, kind));
          const id = [...rows.keys()][below(rows.size)] ?? '';
          const row = rowsOf(other, kind).get(id);
          if (row && random() < 0.8) rows.set(id, row);
          else if (kind !== 'sites') rows.delete(id);
          next = revise(policy, { ...policy.fleet, [kind]: rows } as unknown as Fleet, zones);
        }
        if (!next) continue;
        edits++;
        table = revisedTable(table, next);
        expectTable(table, indices, `seed ${seed} edit ${n}`);
      }
    }
    expect(edits).toBeGreaterThan(FLEETS * 5);
  });
});
