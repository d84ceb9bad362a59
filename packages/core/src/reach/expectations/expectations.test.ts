import { compile, decide, LEAST_USEFUL, NO_USAGE, type Policy } from '@fillwright/core/decide';
import {
  type Expectation,
  type Fleet,
  fieldsOf,
  newRow,
  type RowOf,
  stretchesOf,
  type TableName,
  within,
} from '@fillwright/core/fleet';
import { checkExpectations, reachTable, type Verdict } from '@fillwright/core/reach';
import { formatDate, instantAt, localMoment, weekdayOf, type ZoneTable, zoneTable } from '@fillwright/core/units';
import { describe, expect, it } from 'vitest';
import { openWorld, withPairs, withTwins } from '../../../test/open-world.ts';
import { plausibleAnswers, seeded, smallWorld } from '../../../test/small-world.ts';

const FLEETS = Number(process.env.FILLWRIGHT_REACH_FLEETS ?? 80);
const OPEN_FLEETS = Number(process.env.FILLWRIGHT_OPEN_FLEETS ?? 20);
const WISHES = 14;
/** The small worlds' windows begin and end on half hours, and so do the changes of their clocks. */
const STEP = 30;
const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };
/** Days around which clocks change in some zone of the small worlds. */
const STARTS = ['2026-03-07', '2026-03-28', '2026-04-04'].map((d) => Date.parse(d) / 86_400_000);
const zones = new Map<string, ZoneTable>();
const zoneOf = (zone: string): ZoneTable => {
  const table = zones.get(zone) ?? zoneTable(zone, 2025, 2027);
  zones.set(zone, table);
  return table;
};

const WHO = Object.keys(fieldsOf('expectations').find((f) => f.name === 'who')?.choices ?? {}) as Expectation['who'][];
const MUST = ['can', 'never', 'atLeast', 'atMost'] as const;

/** What is asked of a small fleet, over so many days from a start. */
interface Asked {
  readonly fleet: Fleet;
  readonly rows: readonly Expectation[];
  readonly start: number;
  readonly days: number;
}

/** A small world whose holders have departments and cost centres, and wishes of every shape about it. */
function wishful(base: Fleet, seed: number, start: number, days: number): Asked {
  const copied = Object.entries(base).map(([name, rows]) => [name, rows instanceof Map ? new Map(rows) : rows]);
  const fleet = Object.fromEntries(copied) as Fleet;
  const random = seeded(seed + 1_000_000);
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)] as T;
  const put = <T extends TableName>(table: T, row: RowOf<T>) =>
    (fleet[table] as unknown as Map<string, RowOf<T>>).set(row.id, row);
  for (const id of ['cc0', 'cc1']) put('costCentres', newRow('costCentres', { id, name: id }));
  const more = () => ({ department: pick(['', 'Red', ' red ', 'Blue']), costCentre: pick([null, 'cc0', 'cc1']) });
  for (const row of fleet.drivers.values()) put('drivers', { ...row, ...more() });
  for (const row of fleet.vehicles.values()) put('vehicles', { ...row, ...more() });
  // Some are asked what no answer satisfies.
  put('questions', newRow('questions', { id: 'riddle', prompt: 'Well?', kind: 'text', accepted: [] }));
  for (const table of ['sites', 'drivers', 'vehicles'] as const)
    for (const row of fleet[table].values())
      if (random() < 0.05) put<'sites' | 'drivers' | 'vehicles'>(table, { ...row, questions: ['riddle'] });
  const [hose] = fleet.hoses.values();
  if (hose && random() < 0.2) put('hoses', { ...hose, id: 'stray', site: 'gone' });
  const some = <T>(list: readonly T[], p: number): T | null => (random() < p ? pick(list) : null);
  const date = (p: number) => (random() < p ? formatDate(start + Math.floor(random() * (days + 2)) - 1) : null);
  const limits = [
    ...[...fleet.allowances.values()].flatMap((a) => [a.perFill, a.perDay]),
    ...[...fleet.vehicles.values()].map((v) => v.capacity),
    ...[...fleet.hoses.values()].map((h) => h.mostPerFill),
  ].filter((n) => n !== null);
  const rows = Array.from({ length: WISHES }, (_, n) => {
    const who = pick(WHO);
    const named = /river/.test(who)
      ? [...fleet.drivers.keys()]
      : /ehicle/.test(who)
        ? [...fleet.vehicles.keys()]
        : /ostCentre/.test(who)
          ? ['cc0', 'cc1']
          : ['Red', 'blue'];
    return newRow('expectations', {
      id: `e${n}`,
      who,
      whoName: random() < 0.03 ? 'nowhere' : pick(named),
      must: pick(MUST),
      quantity:
        random() < 0.05
          ? null
          : pick([0, 50_000, 100_000, 20_000_000, 60_000_000, ...limits, ...limits.map((l) => l + 1)]),
      product: some([...fleet.products.keys()], 0.5),
      site: some([...fleet.sites.keys()], 0.4),
      hose: some([...fleet.hoses.keys()], 0.15),
      times:
        random() < 0.4
          ? null
          : [
              {
                days: [0, 1, 2, 3, 4, 5, 6].filter(() => random() < 0.6),
                from: Math.floor(random() * 48) * 30,
                to: Math.floor(random() * 49) * 30,
              },
            ],
      from: date(0.25),
      until: date(0.25),
    });
  });
  return { fleet, rows, start, days };
}

/** The fleet with two more drivers and vehicles, who hold and may use other things than the rest. */
function withStrangers(base: Fleet, seed: number): Fleet {
  const random = seeded(seed + 3_000_000);
  const fleet = { ...base, credentials: new Map(base.credentials) };
  const more = <T extends { readonly id: string }>(rows: ReadonlyMap<string, T>, side: 'driver' | 'vehicle') => {
    const all = new Map(rows);
    for (const [id, row] of [...rows].slice(0, 2)) {
      const allowances = [...fleet.allowances.keys()].filter(() => random() < 1.5 / fleet.allowances.size);
      const sites = random() < 0.5 ? null : [...fleet.sites.keys()].filter(() => random() < 0.6);
      all.set(`${id}x`, { ...row, id: `${id}x`, allowances, sites });
      const number = String(700 + fleet.credentials.size);
      fleet.credentials.set(number, newRow('credentials', { id: number, number, [side]: `${id}x` }));
    }
    return all;
  };
  return { ...fleet, drivers: more(fleet.drivers, 'driver'), vehicles: more(fleet.vehicles, 'vehicle') };
}

/** The fleet without some of the cards, so that some have none of their own. */
function withFewerCards(fleet: Fleet, seed: number): Fleet {
  const random = seeded(seed + 6_000_000);
  return { ...fleet, credentials: new Map([...fleet.credentials].filter(() => random() < 0.6)) };
}

/** What a pair may draw at a hose at a wall time, by trying every way of presenting it. '' is nobody. */
function accessBy(policy: Policy, fleet: Fleet) {
  const ways = new Map<string, string[][]>();
  const cards = [...policy.cards].flatMap(([number, card]) => (card === null ? [] : [{ number, card }]));
  for (const a of cards) {
    for (const b of cards) {
      const drivers = new Set([a.card.driverId, b.card.driverId].filter((id) => id !== null));
      const vehicles = new Set([a.card.vehicleId, b.card.vehicleId].filter((id) => id !== null));
      if (drivers.size > 1 || vehicles.size > 1) continue;
      const key = `${[...drivers][0] ?? ''} ${[...vehicles][0] ?? ''}`;
      ways.set(key, [...(ways.get(key) ?? []), a === b ? [a.number] : [a.number, b.number]]);
    }
  }
  const answers = plausibleAnswers(fleet);
  const known = new Map<string, number>();
  return (pair: string, hose: string, day: number, minute: number): number => {
    const key = `${pair} ${hose} ${day} ${minute}`;
    let most = known.get(key);
    if (most === undefined) {
      most = 0;
      const site = fleet.hoses.get(hose)?.site ?? '';
      for (const credentials of ways.get(pair) ?? []) {
        const at = (day * 1440 + minute) * 60_000;
        const d = decide(policy, { site, hose, at, credentials, pin: 'right', answers }, NO_USAGE);
        if (d.approved) most = Math.max(most, d.limit);
      }
      known.set(key, most);
    }
    return most;
  };
}

const same = (a: string, b: string) => a.trim().toLowerCase() === b.trim().toLowerCase();

interface Time {
  readonly day: number;
  readonly minute: number;
}

/** A verdict found by going through every point, with what a counterexample has to be. */
interface Found {
  readonly verdict: string;
  /** Of a sentence that each one can: those who cannot, of how many, and the first time at which the first of them is served nowhere. */
  readonly failing?: { readonly ids: readonly string[]; readonly of: number; readonly kind: 'drivers' | 'vehicles' };
  readonly time?: Time;
  /** The most that the first of them may draw then, where a clock shows it. */
  readonly most?: number;
  /** Whether a point is one that the sentence speaks of, and that it forbids. */
  readonly offends?: (pair: string, hose: string, time: Time) => boolean;
}

/** SPEC.md read anew. */
function naive({ fleet, start, days: many }: Asked, access: ReturnType<typeof accessBy>, e: Expectation): Found {
  const others = e.who.startsWith('nobodyBut');
  const subject = others ? e.who.slice(9).toLowerCase() || 'department' : e.who.toLowerCase();
  const holders = [...fleet.drivers.values(), ...fleet.vehicles.values()];
  const there: Record<string, () => boolean> = {
    everyone: () => true,
    driver: () => fleet.drivers.has(e.whoName),
    vehicle: () => fleet.vehicles.has(e.whoName),
    costcentre: () => fleet.costCentres.has(e.whoName),
    department: () => holders.some((h) => same(h.department, e.whoName)),
  };
  if (!there[subject]?.()) return { verdict: 'unread' };
  const never = e.must === 'never' || e.must === 'atMost';
  if (e.must.startsWith('at') && (e.quantity === null || (e.must === 'atLeast' && e.quantity === 0)))
    return { verdict: 'unread' };
  if (others && never) return { verdict: 'unread' };
  if (e.from !== null && e.until !== null && e.until < e.from) return { verdict: 'unread' };
  const stretches = stretchesOf(e.times);
  if (stretches.length === 0) return { verdict: 'unread' };
  const hoses = [...fleet.hoses.values()].filter(
    (h) =>
      fleet.sites.has(h.site) &&
      (e.product === null || h.product === e.product) &&
      (e.site === null || h.site === e.site) &&
      (e.hose === null || h.id === e.hose),
  );
  const of = (kind: 'drivers' | 'vehicles', id: string): boolean => {
    const row = fleet[kind].get(id);
    if (!row) return false;
    if (subject === 'everyone') return true;
    if (subject === 'department') return same(row.department, e.whoName);
    if (subject === 'costcentre') return row.costCentre === e.whoName;
    return id === e.whoName && (subject === 'driver') === (kind === 'drivers');
  };
  const ids = (kind: 'drivers' | 'vehicles') => [...fleet[kind].keys()];
  const grouped = subject !== 'driver' && subject !== 'vehicle';
  const meant = (kind: 'drivers' | 'vehicles') =>
    ids(kind).filter((id) => of(kind, id) && (!grouped || fleet[kind].get(id)?.active));
  const people = meant('drivers');
  const kind: 'drivers' | 'vehicles' = people.length > 0 || subject === 'everyone' ? 'drivers' : 'vehicles';
  const each = people.length > 0 || subject === 'everyone' ? people : meant('vehicles');
  if (!never && !others && (hoses.length === 0 || each.length === 0)) return { verdict: 'unread' };
  const days = Array.from({ length: many }, (_, i) => start + i).filter(
    (d) => (e.from === null || formatDate(d) >= e.from) && (e.until === null || formatDate(d) <= e.until),
  );
  const times = days.flatMap((day) =>
    Array.from({ length: 48 }, (_, i) => ({ day, minute: i * STEP })).filter(({ minute }) =>
      within(stretches, weekdayOf(day) * 1440 + minute),
    ),
  );
  if (times.length === 0) return { verdict: 'idle' };
  const shows = (site: string, { day, minute }: { day: number; minute: number }) =>
    instantAt(zoneOf(fleet.sites.get(site)?.zone ?? ''), day, minute) !== undefined;
  const drivers = ['', ...ids('drivers')];
  const vehicles = ['', ...ids('vehicles')];
  const least = Math.max(
    LEAST_USEFUL,
    e.must === 'atLeast' ? (e.quantity ?? 0) : e.must === 'atMost' ? (e.quantity ?? 0) + 1 : 0,
  );
  if (!never && !others) {
    const pairsOf = (id: string) =>
      kind === 'drivers' ? vehicles.map((v) => `${id} ${v}`) : drivers.map((d) => `${d} ${id}`);
    const most = (id: string, t: Time, at = hoses) =>
      Math.max(0, ...at.flatMap((h) => pairsOf(id).map((p) => access(p, h.id, t.day, t.minute))));
    const shown = times.filter((t) => hoses.some((h) => shows(h.site, t)));
    const unserved = (id: string) => shown.find((t) => most(id, t) < least);
    const ids = each.filter((id) => unserved(id));
    const [one] = ids;
    const time = one === undefined ? undefined : unserved(one);
    if (one === undefined || time === undefined) return { verdict: 'holds' };
    const there = hoses.filter((h) => shows(h.site, time));
    return { verdict: 'broken', failing: { ids, of: each.length, kind }, time, most: most(one, time, there) };
  }
  const speaks = (d: string, v: string): boolean => {
    if (!others) return of('drivers', d) || of('vehicles', v);
    if (subject === 'vehicle') return !of('vehicles', v);
    if (subject === 'driver') return !of('drivers', d);
    return d === '' ? !of('vehicles', v) : !of('drivers', d);
  };
  const offending = new Set<string>();
  for (const h of hoses)
    for (const d of drivers)
      for (const v of vehicles)
        if ((d !== '' || v !== '') && speaks(d, v))
          for (const t of times)
            if (access(`${d} ${v}`, h.id, t.day, t.minute) >= least && shows(h.site, t))
              offending.add(`${d} ${v} ${h.id} ${t.day} ${t.minute}`);
  const offends = (pair: string, hose: string, t: Time) => offending.has(`${pair} ${hose} ${t.day} ${t.minute}`);
  return offending.size === 0 ? { verdict: 'holds' } : { verdict: 'broken', offends };
}

function verdictsOf(policy: Policy, { rows, start, days }: Asked): ReadonlyMap<string, Verdict> {
  const steps = checkExpectations(reachTable(policy, [start, start + days - 1]), rows);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

/** Checks every wish about a fleet against every point, and says what came of how many of them. */
function confirmed(asked: Asked, told: string): string[] {
  const { fleet, rows } = asked;
  const policy = compile(fleet, zoneOf);
  const access = accessBy(
    compile(fleet, () => UTC),
    fleet,
  );
  const verdicts = verdictsOf(policy, asked);
  return rows.flatMap((e) => {
    const got = verdicts.get(e.id) as Verdict;
    const want = naive(asked, access, e);
    const about = `${told} ${JSON.stringify(e)} ${JSON.stringify(got)}`;
    expect(got.verdict, about).toBe(want.verdict);
    if (got.verdict === 'broken') confirm(policy, want, got, about);
    return [got.verdict, `${got.verdict} ${e.who}`, `${got.verdict} ${e.must}`];
  });
}

/** SPEC E10: `decide` answers so, the point is one that the sentence speaks of, and it makes the sentence false. */
function confirm(policy: Policy, want: Found, got: Extract<Verdict, { verdict: 'broken' }>, about: string): void {
  const { counterexample: c, failing } = got;
  const d = decide(policy, c.request, NO_USAGE);
  expect(d.approved ? d.limit : 0, about).toBe(c.limit);
  expect(d.by.rule, about).toBe(c.rule);
  const moment = localMoment(policy.hoses.get(c.hose)?.site?.zone ?? UTC, c.request.at);
  expect([c.site, c.hose], about).toEqual([c.request.site, c.request.hose]);
  expect([moment.day, moment.minute], about).toEqual([c.day, c.minute]);
  if (d.driver ?? d.vehicle) expect([d.driver ?? null, d.vehicle ?? null], about).toEqual([c.driver, c.vehicle]);
  // The rule's own record where it is an allowance, else one that is charged; the record that refuses, or who has no credential.
  const meant = c.driver === null ? { table: 'vehicles', id: c.vehicle } : { table: 'drivers', id: c.driver };
  if (!d.approved) expect(c.mend, about).toEqual(d.by.rule === 'card-known' ? meant : d.by.on);
  else if (d.by.on?.table === 'allowances') expect(c.mend, about).toEqual(d.by.on);
  else
    expect(
      d.charged.map((by) => ({ table: 'allowances', id: by.allowance })),
      about,
    ).toContainEqual(c.mend);
  if (want.failing) {
    const { ids, of, kind } = want.failing;
    expect([c[kind === 'drivers' ? 'driver' : 'vehicle'], c.day, c.minute, c.limit], about).toEqual([
      ids[0],
      want.time?.day,
      want.time?.minute,
      want.most,
    ]);
    expect(failing, about).toEqual(of === 1 ? null : { count: ids.length, of, ids: ids.slice(0, 5) });
  } else {
    expect(want.offends?.(`${c.driver ?? ''} ${c.vehicle ?? ''}`, c.hose, c), about).toBe(true);
    expect(c.limit, about).toBeGreaterThan(0);
    expect(failing, about).toBe(null);
  }
}

/** Worlds in which most people may draw at most times, then such in which little is open: each with what was asked of it. */
function* worlds(): Generator<[told: string, asked: Asked]> {
  for (let n = 0; n < OPEN_FLEETS; n++) {
    // Twins, of whom one may be of a department and the other not; strangers; pairs that a card of their own names.
    const open = openWorld(n);
    const peopled = [open, withTwins(open), open, withStrangers(open, n)][n % 4] as Fleet;
    const fleet = n % 4 < 2 ? peopled : withPairs(n % 4 === 2 ? withFewerCards(peopled, n) : peopled, n, 0.4);
    // Some over more than a week, most of it days on which no date begins or ends.
    yield [`open seed ${n}`, wishful(fleet, n, (STARTS[0] as number) - 1, n % 5 === 0 ? 10 : 3)];
  }
  for (let seed = 1; seed <= FLEETS; seed++)
    yield [`seed ${seed}`, wishful(smallWorld(seed).fleet, seed, STARTS[seed % STARTS.length] as number, 3)];
}

describe('expectations', () => {
  it('equal brute force over every point, and decide confirms every counterexample', () => {
    const seen = new Map<string, number>();
    for (const [told, asked] of worlds())
      for (const what of confirmed(asked, told)) seen.set(what, (seen.get(what) ?? 0) + 1);
    for (const verdict of ['holds', 'broken'])
      for (const what of [...MUST, ...WHO])
        expect(seen.get(`${verdict} ${what}`) ?? 0, `${verdict} ${what}`).toBeGreaterThan(FLEETS / 60);
    expect(seen.get('idle') ?? 0).toBeGreaterThan(0);
    expect(seen.get('unread') ?? 0).toBeGreaterThan(0);
  });
});
