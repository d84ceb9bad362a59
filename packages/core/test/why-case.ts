import {
  type Change,
  compile,
  type DecisionRequest,
  decide,
  NO_USAGE,
  type Used,
  type WhyCase,
  type Zones,
} from '@fillwright/core/decide';
import { emptyFleet, type Fleet, newRow, type RowOf, type TableName } from '@fillwright/core/fleet';
import { localMoment, zoneTable } from '@fillwright/core/units';
import { changed, usageAt } from '../src/decide/why/apply.ts';
import { plausibleAnswers, seeded, smallWorld } from './small-world.ts';

export const zones: Zones = (zone) => zoneTable(zone);

/** A small world with a request; mostly one that was approved before a few things of the fleet were changed. */
export function caseOf(seed: number): WhyCase {
  const { world, made, good } = worldOf(seed);
  const { random } = world;
  const asked = good ?? world.request();
  const fleet = good && seed % 6 !== 0 ? broken(made, good, random) : made;
  const request = good && seed % 7 === 0 ? unlike(asked, random) : asked;
  const usage = world.usage();
  const used: Record<string, Used> = {};
  const readings: Record<string, number> = {};
  const holders = [...fleet.drivers.keys()].map((d) => `driver:${d}`);
  holders.push(...[...fleet.vehicles.keys()].map((v) => `vehicle:${v}`));
  for (const holder of holders)
    for (const a of fleet.allowances.keys()) {
      const u = usage.used(holder, a, request.site, request.at);
      if (u && seed % 2 === 0) used[`${holder} ${a}`] = u;
    }
  const reading = usage.lastReading('v0', 'odometer');
  if (reading !== undefined && seed % 5 === 0)
    for (const v of fleet.vehicles.keys())
      for (const k of ['odometer', 'hours'])
        if (random() < 0.8) readings[`${v} ${k}`] = reading + Math.floor(random() * 3);
  return { fleet, request, usage: { used, readings, cutOff: seed % 4 === 0 && usage.cutOff } };
}

function worldOf(seed: number) {
  for (let n = 0; ; n++) {
    const world = smallWorld(40_000 + seed * 100 + n);
    const { fleet: made } = world;
    const policy = compile(made, zones);
    const ask = () => ({ ...world.request(), pin: 'right' as const, answers: plausibleAnswers(made) });
    const good = Array.from({ length: 40 }, ask).find((r) => decide(policy, r, NO_USAGE).approved);
    if (good || n === 99) return { world, made, good };
  }
}

/** The fleet with one to three things changed that this request needs. */
function broken(fleet: Fleet, request: DecisionRequest, random: () => number): Fleet {
  const cards = [...fleet.credentials.values()].filter((c) => request.credentials.includes(c.number));
  const { drivers, vehicles, allowances, credentials, sites, hoses } = fleet;
  const day = (n: number) => new Date(request.at + n * 86_400_000).toISOString().slice(0, 10);
  const later = () => day(1 + Math.floor(random() * 40));
  const each = <T extends { id: string }>(rows: ReadonlyMap<string, T>, has: (row: T) => boolean, make: object) =>
    new Map([...rows].map(([id, row]) => [id, has(row) ? { ...row, ...make } : row] as const));
  const own = (id: string) => cards.some((c) => c.driver === id || c.vehicle === id);
  const ways: (() => Partial<Fleet>)[] = [
    () => ({ credentials: each(credentials, (c) => cards.includes(c), { stopped: true }) }),
    () => ({ drivers: each(drivers, (d) => own(d.id), { active: false, validFrom: later() }) }),
    () => ({ drivers: each(drivers, (d) => own(d.id), { sites: [] }) }),
    () => ({
      drivers: each(drivers, (d) => own(d.id), { allowances: [] }),
      vehicles: each(vehicles, (v) => own(v.id), { allowances: [] }),
    }),
    () => ({ vehicles: each(vehicles, (v) => own(v.id), { active: false, validUntil: '2026-01-01' }) }),
    () => ({ credentials: each(credentials, (c) => cards.includes(c), { validUntil: '2026-01-01' }) }),
    () => ({ vehicles: each(vehicles, (v) => own(v.id), { sites: [] }) }),
    () => ({ drivers: each(drivers, (d) => own(d.id), { validUntil: '2026-01-01' }) }),
    () => ({ vehicles: each(vehicles, (v) => own(v.id), { validFrom: later(), capacity: 50_000 }) }),
    () => ({ credentials: each(credentials, (c) => cards.includes(c), { validFrom: later() }) }),
    () => ({ sites: each(sites, (s) => s.id === request.site, { closed: [day(0), day(1), day(3)] }) }),
    () => ({ hoses: each(hoses, (h) => h.id === request.hose, { terminals: [], mostPerFill: 50_000, active: false }) }),
    () => ({ allowances: each(allowances, () => true, { products: [] }) }),
    () => ({ allowances: each(allowances, () => true, { times: [{ days: [3], from: 0, to: 60 }] }) }),
    () => ({ allowances: each(allowances, () => true, { perDay: 0, fillsPerDay: 0 }) }),
    () => ({ sites: each(sites, (s) => s.id === request.site, { active: false }) }),
  ];
  let next = fleet;
  for (let n = 1 + Math.floor(random() * 3); n > 0; n--)
    next = { ...next, ...(ways[Math.floor(random() * ways.length)] as () => Partial<Fleet>)() };
  return next;
}

/** The request with something missing or wrong about what was presented and keyed. */
function unlike(request: DecisionRequest, random: () => number): DecisionRequest {
  const ways: Partial<DecisionRequest>[] = [
    { credentials: request.credentials.slice(1) },
    { credentials: [...request.credentials, '103'] },
    { pin: 'wrong' },
    { answers: {} },
    { answers: Object.fromEntries(Object.keys(request.answers).map((q) => [q, '?'])) },
    { hose: 'nothing' },
    { site: 'nowhere' },
  ];
  return { ...request, ...ways[Math.floor(random() * ways.length)] };
}

/** A request that was approved, now too early: hours, closed days, first days of validity, and quantities that are used up. */
export function earlyCase(seed: number): WhyCase {
  const { world, made, good } = worldOf(seed);
  const { random } = world;
  const asked = good ?? world.request();
  const below = (n: number) => Math.floor(random() * n);
  // Every other one at the moment at which something may begin.
  const half = 30 * 60_000;
  const request = { ...asked, at: seed % 2 === 0 ? Math.floor(asked.at / half) * half : asked.at };
  const day = (n: number) => new Date(request.at + n * 86_400_000).toISOString().slice(0, 10);
  const some = (p: number, by: () => object) => (random() < p ? by() : {});
  const each = <T>(rows: ReadonlyMap<string, T>, by: () => object) =>
    new Map([...rows].map(([id, row]) => [id, { ...row, ...by() }]));
  const later = () => ({ validFrom: day(below(40)), validUntil: null });
  const window = () => ({
    days: [0, 1, 2, 3, 4, 5, 6].filter(() => random() < 0.4),
    from: below(48) * 30,
    to: below(49) * 30,
  });
  const spent = 1_000_000_000;
  const limit = ['perDay', 'perWeek', 'perMonth', 'fillsPerDay'][below(4)] as string;
  const limits = () => ({
    ...{ perDay: null, perWeek: null, perMonth: null, fillsPerDay: null },
    ...some(0.8, () => (limit === 'fillsPerDay' ? { fillsPerDay: 1 } : { [limit]: spent })),
    ...some(0.6, () => ({ times: [window(), window()].slice(below(2)) })),
  });
  const fleet: Fleet = {
    ...made,
    sites: each(made.sites, () => some(0.4, () => ({ closed: [day(0), day(1), day(1 + below(9)), day(60)] }))),
    credentials: each(made.credentials, () => some(0.2, later)),
    drivers: each(made.drivers, () => ({ ...some(0.2, later), ...some(0.2, () => ({ allowances: [] })) })),
    vehicles: each(made.vehicles, () => ({ ...some(0.2, later), ...some(0.4, () => ({ allowances: [] })) })),
    allowances: each(made.allowances, limits),
  } as Fleet;
  const used: Record<string, Used> = {};
  for (const kind of ['driver', 'vehicle'] as const)
    for (const holder of fleet[`${kind}s`].keys())
      for (const a of fleet.allowances.keys())
        if (random() < 0.7) used[`${kind}:${holder} ${a}`] = { day: spent, week: spent, month: spent, fillsToday: 1 };
  return { fleet, request, usage: { used, readings: {}, cutOff: false } };
}

/**
 * One site where a driver or a vehicle is missing or not allowed, and several could stand there instead: alike, or unlike in what they hold,
 * may, have drawn or have read. Quantities lie at the edge of what can be metered, and some rows name others that are gone.
 */
export function standInCase(seed: number): WhyCase {
  const random = seeded(seed);
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)] as T;
  const fleet = emptyFleet({ name: 'Small', units: 'us', currency: 'USD' });
  const put = <T extends TableName>(table: T, row: Partial<RowOf<T>> & { id: string }) =>
    (fleet[table] as unknown as Map<string, RowOf<T>>).set(row.id, newRow(table, row));
  const edge = () => pick([99_999, 100_000, 100_001, ...Array.from({ length: 9 }, () => 90_000_000)]);
  const most = () => pick([null, null, null, null, edge()]);
  const identify = pick(['both', 'both', 'either'] as const);
  put('sites', { id: 's0', zone: 'UTC', identify, pin: false, questions: pick([[], ['read'], ['gone', 'job']]) });
  put('sites', { id: 's1', zone: 'UTC' });
  for (const [id, site, product] of [
    ['h0', 's0', 'p0'],
    ['h1', 's0', 'p1'],
    ['h2', 's1', 'p2'],
  ] as const)
    put('hoses', { id, site, product, terminals: ['t0'], mostPerFill: edge() });
  const bounds = pick([
    [null, null],
    [5, 500],
    [10, 5],
  ] as const);
  const whenImplausible = pick(['decline', 'note'] as const);
  const [leastAdvance, mostAdvance] = bounds;
  put('questions', { id: 'read', kind: 'odometer', digits: pick([3, 6]), leastAdvance, mostAdvance, whenImplausible });
  put('questions', {
    id: 'job',
    kind: pick(['job', 'text']),
    digits: 4,
    accepted: pick([[], [' blue '], ['too long', 'red']]),
  });
  for (let n = 0; n < 4; n++)
    put('allowances', {
      id: `a${n}`,
      products: pick([['p0'], ['p0', 'p1'], ['p0'], ['p2']]),
      sites: pick([null, null, null, ['s0'], ['s1']]),
      times: pick([null, null, null, [{ days: [0, 1, 2, 3, 4, 5, 6], from: 720, to: 1080 }]]),
      ...{
        perFill: most(),
        perDay: most(),
        perMonth: most(),
        cutOff: pick(['goOn', 'share', 'decline']),
        share: pick([0, 30, 100]),
      },
    });
  const until = () => pick([null, null, null, null, null, '2026-06-12', '2026-12-31']);
  const holder = () => ({
    allowances: pick([['a0'], ['a0'], ['a0'], ['a1'], ['a0', 'a2'], ['a3', 'gone'], []]),
    sites: pick([null, null, null, null, ['s0'], ['s1']]),
    questions: pick([[], [], [], ['job'], ['read']]),
    validUntil: until(),
  });
  for (let n = 0; n < 4; n++) put('drivers', { id: `d${n}`, ...holder() });
  for (let n = 0; n < 7; n++)
    put('vehicles', {
      id: `v${n}`,
      ...holder(),
      capacity: pick([null, null, edge()]),
      counter: pick(['odometer', 'odometer', 'none']),
    });
  for (let n = 0; n < 14; n++) {
    const number = String(n < 12 ? n : pick([0, 3, 12]));
    const named =
      n === 11 ? { driver: 'd1', vehicle: 'v1' } : n < 4 ? { driver: `d${n}` } : { vehicle: `v${(n - 4) % 7}` };
    put('credentials', { id: `c${n}`, number, ...named, validUntil: until() });
  }
  const used: Record<string, Used> = {};
  const readings: Record<string, number> = {};
  const drawn = pick([1, 89_900_000]);
  for (const kind of ['driver', 'vehicle'] as const)
    for (const id of fleet[`${kind}s`].keys()) {
      for (const a of ['a0', 'a1'])
        if (random() < 0.2) used[`${kind}:${id} ${a}`] = { day: drawn, week: drawn, month: drawn, fillsToday: 1 };
      if (random() < 0.4) readings[`${id} odometer`] = pick([100, 998]);
    }
  const credentials = pick([['0'], ['1'], ['4'], ['5'], ['1', '5'], ['11'], ['3', '6'], ['0', '1'], ['4', '5'], []]);
  const answers = pick([{}, { read: '101', job: 'blue' }, { read: '101', job: 'blue' }]);
  const request = {
    ...{ site: 's0', hose: 'h0', at: Date.UTC(2026, 5, 10, 15), terminal: 't0' },
    pin: 'right' as const,
  };
  return { fleet, request: { ...request, credentials, answers }, usage: { used, readings, cutOff: random() < 0.3 } };
}

/**
 * A driver alone where a vehicle is asked for, too, and vehicles that differ in one thing: what they have drawn, what was read last, or until
 * when they or their cards count.
 */
export function alikeCase(seed: number): WhyCase {
  const random = seeded(seed);
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)] as T;
  const differ = ['used', 'read', 'until'][seed % 3];
  const fleet = emptyFleet({ name: 'Alike', units: 'us', currency: 'USD' });
  const put = <T extends TableName>(table: T, row: Partial<RowOf<T>> & { id: string }) =>
    (fleet[table] as unknown as Map<string, RowOf<T>>).set(row.id, newRow(table, row));
  const closed = differ === 'until' ? ['2026-06-10', '2026-06-11', '2026-06-12'] : [];
  const counter = seed % 2 === 0 ? 'odometer' : 'hours';
  put('questions', { id: 'read', kind: counter, leastAdvance: 5, mostAdvance: 500 });
  put('sites', { id: 's0', zone: 'UTC', identify: 'both', pin: false, questions: ['read'], closed });
  put('hoses', { id: 'h0', site: 's0', product: 'p0' });
  put('allowances', { id: 'a0', products: ['p0'], perDay: 90_000_000 });
  put('drivers', { id: 'd0' });
  put('credentials', { id: 'c', number: '0', driver: 'd0' });
  const until = () => (differ === 'until' ? pick([null, '2026-06-12', '2026-06-20']) : null);
  const used: Record<string, Used> = {};
  const readings: Record<string, number> = {};
  for (let n = 1; n <= 8; n++) {
    const id = `v${n}`;
    put('vehicles', { id, allowances: ['a0'], validUntil: until(), counter });
    put('credentials', { id: `c${n}`, number: `${n}`, vehicle: id, validUntil: until() });
    if (differ === 'used' && random() < 0.5)
      used[`vehicle:${id} a0`] = { day: 89_950_000, week: 89_950_000, month: 89_950_000, fillsToday: 1 };
    if (differ === 'read' && random() < 0.7) readings[`${id} ${counter}`] = pick([100, 120]);
  }
  const request = { site: 's0', hose: 'h0', at: Date.UTC(2026, 5, 10, 15), credentials: ['0'], pin: 'right' as const };
  return { fleet, request: { ...request, answers: { read: '121' } }, usage: { used, readings, cutOff: false } };
}

/** Another time is looked for in as many days. */
const DAYS_AHEAD = 35;

/**
 * The earliest later moment at which a changed case is approved with at least `wanted` microlitres; undefined where there is none. Tried quarter hour by
 * quarter hour: in these fleets everything begins and ends at one.
 */
export function earliestAhead(base: WhyCase, changes: readonly Change[], wanted: number): number | undefined {
  const { fleet, request, usage } = changed(base, changes, zones);
  const policy = compile(fleet, zones);
  const zone = zones(base.fleet.sites.get(base.request.site)?.zone ?? 'UTC');
  const used = usageAt(usage, zone, base.request.at);
  const { day } = localMoment(zone, base.request.at);
  const quarter = 15 * 60_000;
  for (let n = Math.floor(base.request.at / quarter) + 1; ; n++) {
    const at = n * quarter;
    if (localMoment(zone, at).day >= day + DAYS_AHEAD) return undefined;
    const d = decide(policy, { ...request, at }, used);
    if (d.approved && d.limit >= wanted) return at;
  }
}
