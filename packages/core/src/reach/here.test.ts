import { compile, type Decision, decide, NO_USAGE, type Policy } from '@fillwright/core/decide';
import type { Credential, Fleet } from '@fillwright/core/fleet';
import { type Here, hereOf, holds, type Place, reachTable, ruleWords, type WeekHere } from '@fillwright/core/reach';
import { parseDate, type ZoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { OPEN_STEP, openWorld, withDepartments, withPairs } from '../../test/open-world.ts';
import { plausibleAnswers, smallWorld } from '../../test/small-world.ts';

const FLEETS = Number(process.env.FILLWRIGHT_OPEN_FLEETS ?? 40);
const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
const zones = () => UTC;
const FIRST = Date.UTC(2026, 2, 6) / 86_400_000;
const DAYS = [0, 1, 2, 3].map((n) => FIRST + n);
/** A Monday. */
const MONDAY = FIRST - 4;

/** Whom one or two cards present, how, and on which days of the horizon: with cards of their own, or with one that names both. */
interface Coming {
  readonly driver: string | null;
  readonly vehicle: string | null;
  readonly ways: { readonly credentials: readonly string[]; readonly days: readonly number[] }[];
}

/** Read from the rows. */
function comingOf({ fleet, cards, stopped }: Policy): Coming[] {
  const usable = [...fleet.credentials.values()].filter(
    (c) => cards.get(c.number) && !c.stopped && !stopped.has(c.number) && (c.driver !== null || c.vehicle !== null),
  );
  const found = new Map<string, Coming>();
  const put = (key: string, given: readonly Credential[]) => {
    const driver = given.find((c) => c.driver !== null)?.driver ?? null;
    const vehicle = given.find((c) => c.vehicle !== null)?.vehicle ?? null;
    const rows = [
      driver === null ? [] : fleet.drivers.get(driver),
      vehicle === null ? [] : fleet.vehicles.get(vehicle),
    ];
    if (rows.some((row) => !row || ('active' in row && !row.active))) return;
    const dated = [...given, ...rows.flat()].filter((row) => row !== undefined);
    const good = (day: number) =>
      dated.every(
        ({ validFrom, validUntil }) =>
          (validFrom === null || (parseDate(validFrom) as number) <= day) &&
          (validUntil === null || day <= (parseDate(validUntil) as number)),
      );
    const coming = found.get(key) ?? { driver, vehicle, ways: [] };
    coming.ways.push({ credentials: given.map((c) => c.number), days: DAYS.filter(good) });
    found.set(key, coming);
  };
  for (const a of usable) {
    put(a.driver !== null && a.vehicle !== null ? a.number : `${a.driver} ${a.vehicle}`, [a]);
    for (const b of usable) if (a.vehicle === null && b.driver === null) put(`${a.driver} ${b.vehicle}`, [a, b]);
  }
  return [...found.values()];
}

const daysOf = (all: readonly Coming[]) => DAYS.filter((d) => all.some((c) => c.ways.some((w) => w.days.includes(d))));
const listed = (days: readonly number[]) => DAYS.filter((d) => holds(days, d));

/** The same without a date anywhere, so that all come in every minute of any week. */
function undated(fleet: Fleet): Fleet {
  const set = <R extends object>(rows: ReadonlyMap<string, R>, fields: Partial<R>): ReadonlyMap<string, R> =>
    new Map([...rows].map(([id, row]) => [id, { ...row, ...fields }]));
  const dates = { validFrom: null, validUntil: null };
  return {
    ...fleet,
    drivers: set(fleet.drivers, dates),
    vehicles: set(fleet.vehicles, dates),
    credentials: set(fleet.credentials, dates),
    sites: set(fleet.sites, { closed: [] }),
  };
}

/** Decisions by whoever comes, as they would be on days that no date forbids, and whether one is a yes on a day that none forbids. */
function tried(policy: Policy, step: number) {
  const { fleet } = policy;
  const answers = plausibleAnswers(fleet);
  const dateless = compile(undated(fleet), zones);
  const ask = (of: Policy, hose: string, credentials: readonly string[], minute: number) => {
    const site = fleet.hoses.get(hose)?.site ?? '';
    return decide(of, { site, hose, at: minute * 60_000, credentials, pin: 'right', answers }, NO_USAGE);
  };
  const weeks = new Map<string, Decision[]>();
  const week = (coming: Coming, hose: string): Decision[] => {
    const credentials = coming.ways[0]?.credentials ?? [];
    const key = `${hose} ${credentials}`;
    const known =
      weeks.get(key) ??
      Array.from({ length: 10_080 / step }, (_, n) => ask(dateless, hose, credentials, MONDAY * 1440 + n * step));
    weeks.set(key, known);
    return known;
  };
  const draws = ({ ways }: Coming, hose: string): boolean =>
    ways.some(({ credentials, days }) =>
      days.some((day) => {
        for (let minute = day * 1440; minute < (day + 1) * 1440; minute += step)
          if (ask(policy, hose, credentials, minute).approved) return true;
        return false;
      }),
    );
  return { week, draws };
}

const roomAt = (week: WeekHere, minute: number) => week.stretches.find((s) => s.from <= minute && minute < s.to);
const limitOf = (d: Decision | undefined) => (d?.approved ? d.limit : 0);

function expectWhole({ stretches }: WeekHere): void {
  expect([stretches[0]?.from, stretches.at(-1)?.to]).toEqual([0, 10_080]);
  for (const [n, s] of stretches.entries()) if (n > 0) expect(s.from).toBe(stretches[n - 1]?.to);
}

describe('what may be drawn at a site over the week', () => {
  it('is what decide gives whoever is meant, on the days on which they stand there, and who can is counted', () => {
    const seen = { open: 0, shut: 0, counted: 0, bothDays: 0 };
    for (let seed = 1; seed <= FLEETS; seed++) {
      const open = seed % 2 === 1;
      const step = open ? OPEN_STEP : 30;
      const world = open ? openWorld(seed) : smallWorld(seed).fleet;
      const fleet = withDepartments(seed % 5 === 1 ? withPairs(world, seed, 0.6) : world);
      const policy = compile(fleet, zones, new Set(seed % 4 === 3 ? ['100'] : []));
      const table = reachTable(policy, [FIRST, FIRST + DAYS.length - 1]);
      const coming = comingOf(policy);
      const { week, draws } = tried(policy, step);
      const hosesOf = (site: string) => [...fleet.hoses.values()].filter((h) => h.site === site && h.active);
      const closedAt = (site: string) => {
        const dates = fleet.sites.get(site)?.closed.map(parseDate);
        return DAYS.filter((d) => dates?.includes(d));
      };

      /** One week against those who draw there, each of whom comes on days of their own. */
      const expectWeek = (
        got: WeekHere,
        site: string,
        all: readonly Coming[],
        dates: readonly number[],
        told: string,
      ) => {
        const [hose] = got.hoses as [string];
        const can = all.filter((c) => draws(c, hose));
        expect(got.nothing === null, told).toBe(can.length > 0);
        expect(got.product, told).toBe(fleet.hoses.get(hose)?.product);
        expect(listed(got.dates), told).toEqual(dates);
        expect(listed(got.days), told).toEqual(dates.filter((d) => !closedAt(site).includes(d)));
        if (can.length === 0) {
          expect(got.stretches, told).toEqual([]);
          seen.shut++;
          return;
        }
        seen.open++;
        expectWhole(got);
        for (let n = 0; n < 10_080 / step; n++) {
          const decisions = can.map((c) => week(c, hose)[n]);
          const most = Math.max(...decisions.map(limitOf));
          const found = roomAt(got, n * step);
          expect(found?.room, `${told} ${n * step}`).toBe(most);
          if (most === 0) continue;
          // Of several who may draw as much the rule of one is told.
          const words = decisions.flatMap((d) => {
            if (!d?.approved || d.limit !== most) return [];
            const { rule, on } = d.by;
            return [ruleWords(fleet, { rule, allowance: on?.table === 'allowances' ? on.id : null })];
          });
          expect(words, `${told} ${n * step}`).toContain(found?.by);
        }
      };

      const expectPlace = (place: Place, all: readonly Coming[], standing: boolean) => {
        const told = `seed ${seed} ${JSON.stringify(place)}`;
        const progress: unknown[] = [];
        const steps = hereOf(table, place);
        let here: Here | null = null;
        while (!here) {
          const step = steps.next();
          if (step.done) here = step.value;
          else progress.push(step.value);
        }
        expect(here.place).toBe(place);
        expect(here.horizon).toBe(table.horizon);
        const sites = place.site === '' ? [...fleet.sites.keys()] : [place.site];
        const hoses = sites.filter((s) => fleet.sites.get(s)?.active).flatMap(hosesOf);
        if ((standing || place.withAnybody) && daysOf(all).length === 0) {
          expect([here.why === null, here.weeks, here.sites, here.cards, here.counts], told).toEqual([
            ...[false, [], [], [], []],
          ]);
          return;
        }
        expect(here.why, told).toBeNull();
        const rows = place.site === '' ? here.sites : here.weeks.map((w) => ({ ...w, site: place.site }));
        expect(progress, told).toEqual(rows.map((_, done) => ({ done, of: rows.length })));
        expect(rows.flatMap((w) => w.hoses).sort(), told).toEqual(hoses.map((h) => h.id).sort());
        for (const row of rows) {
          const can = all.filter((c) => draws(c, row.hoses[0] as string));
          expectWeek(row, row.site, all, daysOf(standing ? all : can), `${told} ${row.hoses}`);
        }
        if (place.site === '') {
          expect([here.closed, here.counts]).toEqual([[], []]);
          expectProducts(here, told);
        } else {
          if (rows.length > 0) expect(listed(here.closed), told).toEqual(closedAt(place.site));
          for (const count of here.counts) expectCount(count, told);
          expect(here.counts.map((c) => c.hoses)).toEqual(rows.map((w) => w.hoses));
        }
        if (!standing) expect(here.cards).toEqual([]);
        else {
          const [day] = daysOf(all);
          const wanted = [...here.cards].sort();
          const ways = all.flatMap((c) => c.ways.filter((w) => w.days.includes(day as number)));
          expect(
            ways.map((w) => [...w.credentials].sort()),
            told,
          ).toContainEqual(wanted);
        }
      };

      /** Of every site: the most that any of them gives. */
      const expectProducts = (here: Here, told: string) => {
        const products = new Set(here.sites.map((s) => s.product));
        expect(here.weeks.map((w) => w.product)).toEqual([...products]);
        for (const got of here.weeks) {
          const all = here.sites.filter((s) => s.product === got.product);
          const can = all.filter((s) => s.nothing === null);
          expect(got.nothing, told).toBe(can.length > 0 ? null : 'nothing may be drawn at any site');
          expect(got.hoses, told).toEqual((can.length > 0 ? can : all).flatMap((s) => s.hoses));
          const union = (of: (w: WeekHere) => readonly number[]) =>
            DAYS.filter((d) => can.some((w) => holds(of(w), d)));
          expect([listed(got.dates), listed(got.days)], told).toEqual([union((w) => w.dates), union((w) => w.days)]);
          if (can.length === 0) expect(got.stretches).toEqual([]);
          else expectWhole(got);
          for (let minute = 0; can.length > 0 && minute < 10_080; minute += step) {
            const found = can.map((w) => roomAt(w, minute));
            const most = Math.max(...found.map((s) => s?.room ?? 0));
            const now = roomAt(got, minute);
            expect(now?.room, `${told} ${minute}`).toBe(most);
            expect(
              found.flatMap((s) => (s?.room === most ? s.by : [])),
              `${told} ${minute}`,
            ).toContain(now?.by);
          }
        }
      };

      const expectCount = (count: Here['counts'][number], told: string) => {
        const [hose] = count.hoses as [string];
        const can = coming.filter((c) => draws(c, hose));
        const alone = new Set(can.flatMap((c) => (c.vehicle === null && c.driver !== null ? c.driver : [])));
        const together = new Set(can.flatMap((c) => (c.vehicle !== null && c.driver !== null ? c.driver : [])));
        const vehicles = can.filter((c) => c.driver === null).length;
        const either = new Set([...alone, ...together]).size;
        expect(
          [count.driversAlone, count.driversWithVehicle, count.driversNever, count.vehiclesAlone],
          `${told} ${hose}`,
        ).toEqual([alone.size, either - alone.size, fleet.drivers.size - either, vehicles]);
        if (either > alone.size) seen.counted++;
      };

      const anybody = { driver: null, vehicle: null, department: null };
      for (const site of ['', ...fleet.sites.keys()]) {
        expectPlace({ ...anybody, site }, coming, false);
        for (const department of ['D0', 'D1', 'none such']) {
          const of = (c: Coming) =>
            fleet.drivers.get(c.driver ?? '')?.department === department ||
            fleet.vehicles.get(c.vehicle ?? '')?.department === department;
          expectPlace({ ...anybody, site, department }, coming.filter(of), false);
        }
        for (const driver of fleet.drivers.keys())
          expectPlace(
            { ...anybody, site, driver, withAnybody: true },
            coming.filter((c) => c.driver === driver),
            false,
          );
        for (const vehicle of fleet.vehicles.keys())
          expectPlace(
            { ...anybody, site, vehicle, withAnybody: true },
            coming.filter((c) => c.vehicle === vehicle),
            false,
          );
        for (const driver of [null, ...fleet.drivers.keys()])
          for (const vehicle of [null, ...fleet.vehicles.keys()]) {
            if (driver === null && vehicle === null) continue;
            const them = coming.filter((c) => c.driver === driver && c.vehicle === vehicle);
            if (them.length > 1) seen.bothDays++;
            expectPlace({ ...anybody, site, driver, vehicle }, them, true);
          }
      }
    }
    expect(seen.open).toBeGreaterThan(FLEETS * 4);
    expect(seen.shut).toBeGreaterThan(FLEETS * 4);
    expect(seen.counted).toBeGreaterThan(FLEETS / 2);
    expect(seen.bothDays).toBeGreaterThan(FLEETS / 4);
  });
});
