import { compile, decide, type Usage } from '@fillwright/core/decide';
import { flags } from '@fillwright/core/flags';
import { entrySchema } from '@fillwright/core/island';
import { zoneTable } from '@fillwright/core/units';
import { expect, it } from 'vitest';
import { harrowmere } from '../harrowmere/index.ts';
import { pastOf } from './past.ts';

const fleet = harrowmere();
const tables = new Map<string, ReturnType<typeof zoneTable>>();
const zones = (zone: string) => {
  const table = tables.get(zone) ?? zoneTable(zone, 2025, 2027);
  tables.set(zone, table);
  return table;
};
const UNTIL = Date.UTC(2026, 10, 25, 20, 7);
const past = pastOf({
  seed: 1,
  fleet,
  epoch: 'e',
  revision: 1,
  until: UNTIL,
  weeks: 8,
  zones,
  leaks: { 'sallow-quay-t1': 1.1 },
});

it('is a journal that an office understands: in order, each end of a fill that began', () => {
  let fills = 0;
  for (const [site, journal] of past.journals) {
    const begun = new Set<string>();
    let last = 0;
    const wrong: unknown[] = [];
    for (const [i, entry] of journal.entries()) {
      if (!entrySchema.safeParse(entry).success || entry.at < last) wrong.push(entry);
      last = entry.at;
      if (entry.kind === 'authorised') begun.add(`${site}.e.${i + 1}`);
      if (entry.kind === 'ended' && !begun.delete(entry.fill)) wrong.push(entry);
      if (entry.kind === 'ended') fills++;
      if (entry.kind === 'reading' && entry.fill !== undefined && !/^[\w-]+\.e\.\d+$/.test(entry.fill))
        wrong.push(entry);
    }
    expect(wrong).toEqual([]);
    expect(begun.size).toBe(0);
    expect(last).toBeLessThanOrEqual(UNTIL);
  }
  expect(fills).toBeGreaterThan(400);
});

it('ends each tank where its levels end, never empty and never above its safe fill', () => {
  for (const t of past.tanks) {
    const tank = fleet.tanks.get(t.tank);
    const levels = t.readings.map((r) => r.ul ?? 0);
    expect(Math.abs((levels.at(-1) as number) - t.closing.ul)).toBeLessThan(40_000_000);
    expect(Math.min(...levels)).toBeGreaterThan(tank?.low ?? 0);
    expect(Math.max(...levels)).toBeLessThan((tank?.capacity ?? 0) * 0.92);
    expect(t.readings.length).toBeGreaterThan(2_000);
  }
  expect(past.tanks.some((t) => t.bills.length > 0)).toBe(true);
});

it('holds what was planted, and little else that is unusual', () => {
  const drawn = [...past.journals].flatMap(([site, journal]) => {
    const ends = new Map(journal.flatMap((e) => (e.kind === 'ended' ? [[e.fill, e] as const] : [])));
    return journal.flatMap((a, i) => {
      const id = `${site}.e.${i + 1}`;
      const end = ends.get(id);
      if (a.kind !== 'authorised' || !end) return [];
      const { odometer, hours } = a.answers;
      return [
        {
          ...{ id, site, hose: a.hose, product: a.product, driver: a.driver ?? null, vehicle: a.vehicle ?? null },
          ...{ from: a.at, to: end.at, volume: end.ul, limit: a.limitUl },
          ...(odometer === undefined ? {} : { odometer: Number(odometer) }),
          ...(hours === undefined ? {} : { hours: Number(hours) }),
        },
      ];
    });
  });
  const since = UNTIL - 30 * 86_400_000;
  const found = flags({ fleet, fills: drawn, loose: [], zones, since });
  const codes = new Set(found.map((f) => f.code));
  for (const code of ['G01', 'G02', 'G06', 'G07'] as const) expect(codes).toContain(code);
  expect(found.length).toBeLessThanOrEqual(20);
  const alarms = [...past.journals.values()].flatMap((j) => j.filter((e) => e.kind === 'alarm'));
  expect(alarms).toHaveLength(1);
});

it('turns people away as the rules do, some on the last two days, and each can be decided again', () => {
  const policy = compile(fleet, zones);
  const refused = [...past.journals].flatMap(([site, j]) =>
    j.flatMap((e) => (e.kind === 'refused' ? [{ site, ...e }] : [])),
  );
  expect(refused.length).toBeGreaterThan(10);
  expect(refused.length).toBeLessThan(80);
  const late = refused.filter((r) => r.at > UNTIL - 2 * 86_400_000).map((r) => r.reason);
  expect(late).toContain('allowance-time');
  expect(late).toContain('pin');
  for (const r of refused) {
    const { used = {}, readings = {}, cutOff = false, pin = 'right', answers = {} } = r.asked ?? {};
    const usage: Usage = {
      cutOff,
      used: (holder, allowance) => used[`${holder} ${allowance}`],
      lastReading: (vehicle, kind) => readings[`${vehicle} ${kind}`] ?? undefined,
    };
    const credentials = r.credentials.map((c) => fleet.credentials.get(c)?.number ?? '');
    const asked = { site: r.site, hose: r.hose ?? '', terminal: r.terminal, at: r.at, credentials, pin, answers };
    const again = decide(policy, asked, usage);
    expect(again.approved).toBe(false);
    expect(again.by.rule).toBe(r.reason);
  }
});
