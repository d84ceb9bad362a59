import * as cedar from '@cedar-policy/cedar-wasm/nodejs';
import { compile, decide, LEAST_USEFUL, NO_USAGE } from '@fillwright/core/decide';
import { type Credential, emptyFleet, type Fleet, stretchesOf } from '@fillwright/core/fleet';
import { accessOf, holds, presentedBy, reachTable, stretchAt } from '@fillwright/core/reach';
import { seeded, smallWorld, ZONES } from '@fillwright/core/test/small-world.ts';
import { localMoment, weekdayOf, zoneTable } from '@fillwright/core/units';
import { DateTime } from 'luxon';
import { describe, expect, it } from 'vitest';

/**
 * The same rules said a second time as Cedar policies and answered by Cedar's own authoriser; the wall clock comes from luxon. Neither
 * knows anything of reach, of the way in which it joins rules, or of our calendar.
 */
const FLEETS = Number(process.env.FILLWRIGHT_REFEREE_FLEETS ?? 30);
const POINTS = 40;
const FIRST = Date.UTC(2026, 1, 20) / 86_400_000;
const LAST = Date.UTC(2026, 10, 20) / 86_400_000;
const zones = new Map(ZONES.map((zone) => [zone, zoneTable(zone, 2025, 2027)]));

/** Reach takes answers as right: Cedar is told of fleets that ask nothing. */
function silent(fleet: Fleet): Fleet {
  const without = <T extends { id: string }>(rows: ReadonlyMap<string, T>) =>
    new Map([...rows].map(([id, row]) => [id, { ...row, questions: [] }]));
  return {
    ...emptyFleet(fleet.settings),
    ...fleet,
    questions: new Map(),
    sites: without(fleet.sites),
    drivers: without(fleet.drivers),
    vehicles: without(fleet.vehicles),
  };
}

const dateNumber = (text: string) => Number(text.replaceAll('-', ''));
const quoted = (list: readonly string[]) => `[${list.map((s) => JSON.stringify(s)).join(',')}]`;

/** Who is refused, one policy a rule; whoever no policy forbids is let through. */
function policiesOf(fleet: Fleet): string {
  const lines = ['permit(principal, action, resource);'];
  const forbid = (when: string) => lines.push(`forbid(principal, action, resource) when { ${when} };`);
  const dated = (row: { validFrom: string | null; validUntil: string | null }) => [
    ...(row.validFrom === null ? [] : [`context.date < ${dateNumber(row.validFrom)}`]),
    ...(row.validUntil === null ? [] : [`context.date > ${dateNumber(row.validUntil)}`]),
  ];
  const useful = (most: number | null) => most === null || most >= LEAST_USEFUL;
  const allowance = (id: string): string | null => {
    const a = fleet.allowances.get(id);
    if (!a || a.fillsPerDay === 0 || ![a.perFill, a.perDay, a.perWeek, a.perMonth].every(useful)) return null;
    const open = stretchesOf(a.times).map((s) => `(context.minute >= ${s.from} && context.minute < ${s.to})`);
    const where = a.sites === null ? 'true' : `${quoted(a.sites)}.contains(context.site)`;
    return `(${quoted(a.products)}.contains(context.product) && ${where} && (${open.join(' || ') || 'false'}))`;
  };
  for (const site of fleet.sites.values()) {
    const here = `context.site == "${site.id}"`;
    if (!site.active) forbid(here);
    for (const day of site.closed) forbid(`${here} && context.date == ${dateNumber(day)}`);
    const known = {
      driver: 'context.driver != ""',
      vehicle: 'context.vehicle != ""',
      either: 'context.driver != "" || context.vehicle != ""',
      both: 'context.driver != "" && context.vehicle != ""',
    }[site.identify];
    forbid(`${here} && !(${known})`);
  }
  for (const hose of fleet.hoses.values())
    if (!hose.active || hose.mostPerFill < LEAST_USEFUL) forbid(`resource == Hose::"${hose.id}"`);
  const parties = { driver: [] as string[], vehicle: [] as string[] };
  for (const [kind, rows] of [
    ['driver', fleet.drivers],
    ['vehicle', fleet.vehicles],
  ] as const) {
    forbid(`context.${kind} != "" && !${quoted([...rows.keys()])}.contains(context.${kind})`);
    for (const row of rows.values()) {
      const one = `context.${kind} == "${row.id}"`;
      if (!row.active) forbid(one);
      for (const out of dated(row)) forbid(`${one} && ${out}`);
      if (row.sites !== null) forbid(`${one} && !${quoted(row.sites)}.contains(context.site)`);
      if ('capacity' in row && !useful(row.capacity as number | null)) forbid(one);
      if (row.allowances.length === 0) continue;
      parties[kind].push(row.id);
      forbid(
        `${one} && !(${
          row.allowances
            .map(allowance)
            .filter((a) => a !== null)
            .join(' || ') || 'false'
        })`,
      );
    }
  }
  const brings = (kind: 'driver' | 'vehicle') => `${quoted(parties[kind])}.contains(context.${kind})`;
  forbid(`!(${brings('driver')} || ${brings('vehicle')})`);
  for (const card of fleet.credentials.values())
    for (const out of [...(card.stopped ? ['true'] : []), ...dated(card)])
      forbid(`context.cards.contains("${card.number}") && ${out}`);
  return lines.join('\n');
}

describe('reach, Cedar and luxon', () => {
  it('agree on who may draw at sampled minutes of real zones, also around their changes of clock', () => {
    let open = 0;
    let asked = 0;
    for (let seed = 1; seed <= FLEETS; seed++) {
      const fleet = silent(smallWorld(seed).fleet);
      const policy = compile(fleet, (zone) => zones.get(zone) ?? zoneTable(zone, 2025, 2027));
      const table = reachTable(policy, [FIRST, LAST]);
      const parsed = cedar.preparsePolicySet('referee', { staticPolicies: policiesOf(fleet) });
      if (parsed.type !== 'success') throw new Error(JSON.stringify(parsed));
      const random = seeded(seed + 7000);
      const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)] as T;
      const byNumber = new Map<string, Credential[]>();
      for (const c of fleet.credentials.values()) byNumber.set(c.number, [...(byNumber.get(c.number) ?? []), c]);
      // A number that two carry names nobody, and one that names nobody is none: neither is put to Cedar.
      const numbers = [...byNumber]
        .filter(([, l]) => l.length === 1 && (l[0]?.driver || l[0]?.vehicle))
        .map(([n]) => n);
      const hoses = [...fleet.hoses.values()];
      if (numbers.length === 0 || hoses.length === 0) continue;
      for (let n = 0; n < POINTS; n++) {
        const hose = pick(hoses);
        const way = [...new Set([pick(numbers), pick(numbers)])];
        const cards = way.map((number) => (byNumber.get(number) as Credential[])[0] as Credential);
        const named = (kind: 'driver' | 'vehicle') => [...new Set(cards.flatMap((c) => c[kind] ?? []))];
        const [drivers, vehicles] = [named('driver'), named('vehicle')];
        if (drivers.length > 1 || vehicles.length > 1) continue;
        const base = pick([
          '2026-03-08',
          '2026-03-29',
          '2026-04-05',
          '2026-10-04',
          '2026-10-25',
          '2026-11-01',
          '2026-06-10',
        ]);
        const at = Date.parse(`${base}T00:00:00Z`) + Math.floor((random() * 3 - 1) * 1440) * 60_000;
        const wall = DateTime.fromMillis(at, { zone: fleet.sites.get(hose.site)?.zone ?? 'UTC' });
        const answer = cedar.statefulIsAuthorized({
          principal: { type: 'Somebody', id: 'here' },
          action: { type: 'Action', id: 'draw' },
          resource: { type: 'Hose', id: hose.id },
          context: {
            driver: drivers[0] ?? '',
            vehicle: vehicles[0] ?? '',
            cards: way,
            site: hose.site,
            product: hose.product,
            date: Number(wall.toFormat('yyyyMMdd')),
            minute: (wall.weekday - 1) * 1440 + wall.hour * 60 + wall.minute,
          },
          preparsedPolicySetId: 'referee',
          entities: [],
        });
        if (answer.type !== 'success') throw new Error(JSON.stringify(answer));
        expect(answer.response.diagnostics.errors).toEqual([]);
        const want = answer.response.decision === 'allow';

        const site = policy.sites.get(hose.site);
        const { day, minute } = localMoment(site?.zone ?? zoneTable('UTC', 2025, 2027), at);
        const who = presentedBy(table, way);
        const hc = table.hoses.find((h) => h.members.some((m) => m.row.id === hose.id));
        const steps = who && hc ? accessOf(table, who, hc) : null;
        const room = steps ? (steps.room[stretchAt(steps, weekdayOf(day) * 1440 + minute)] as number) : 0;
        const got =
          room >= LEAST_USEFUL && who !== null && hc !== undefined && holds(who.days, day) && !holds(hc.closed, day);
        const told = `seed ${seed} ${hose.id} ${way} ${wall.toISO()}`;
        expect(got, told).toBe(want);
        const request = { site: hose.site, hose: hose.id, at, credentials: way, pin: 'right' as const, answers: {} };
        expect(decide(policy, request, NO_USAGE).approved, told).toBe(want);
        asked++;
        if (want) open++;
      }
    }
    expect(asked).toBeGreaterThan(FLEETS * POINTS * 0.4);
    expect(open).toBeGreaterThan(asked / 50);
  });
});
