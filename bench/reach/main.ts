import { compile, decide, NO_USAGE, revise } from '@fillwright/core/decide';
import { type AnyRow, type Fleet, Patched } from '@fillwright/core/fleet';
import { Book, LiveDifference, reachTable, revisedTable } from '@fillwright/core/reach';
import { seeded } from '@fillwright/core/test/small-world.ts';
import { type ZoneTable, zoneTable } from '@fillwright/core/units';
import { crowdOf, estate, later, type Size } from './estate.ts';

/**
 * Full reach and difference of a large estate, edits of it, how each grows, a million credentials, and the ratio to brute force by sampling.
 * Seconds are those of the processor, so that a busy machine tells nearly the same; the wall's are beside them.
 */
const made = new Map<string, ZoneTable>();
const zones = (zone: string) => {
  const known = made.get(zone) ?? zoneTable(zone, 2025, 2028);
  made.set(zone, known);
  return known;
};
const FIRST = Date.UTC(2026, 10, 25) / 86_400_000;
const horizon = [FIRST, FIRST + 364] as const;

function clock(): () => { cpu: number; wall: number } {
  const [cpu, wall] = [process.cpuUsage(), performance.now()];
  return () => {
    const used = process.cpuUsage(cpu);
    return { cpu: (used.user + used.system) / 1e6, wall: (performance.now() - wall) / 1000 };
  };
}
const said = ({ cpu, wall }: { cpu: number; wall: number }) => `${cpu.toFixed(2)} s (wall ${wall.toFixed(2)} s)`;
const memory = () =>
  `rss at most ${(process.resourceUsage().maxRSS / 1000).toFixed(0)} MB, heap ${(process.memoryUsage().heapUsed / 1e6).toFixed(0)} MB`;

function finish<T>(steps: Generator<unknown, T>): T {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

/** Reach of all is every class at every different hose: a comparison of the table with itself, which meets them all and finds nothing. */
function measure(before: Fleet, after: Fleet, label: string): number {
  const book = new Book();
  const forReach = clock();
  const a = reachTable(compile(before, zones), horizon, book);
  const alone = finish(LiveDifference.begin(a, a));
  const reach = forReach();
  const forDifference = clock();
  const b = reachTable(compile(after, zones), horizon, book);
  const difference = finish(LiveDifference.begin(a, b)).difference();
  const diff = forDifference();
  const names = clock();
  let people = 0;
  for (const g of difference.groups.slice(0, 24)) people += g.drivers.size + g.vehicles.size;
  const changed = Object.values(difference.points).reduce((n, p) => n + p, 0n);
  console.log(
    `${label.padEnd(30)} reach ${said(reach)}; difference ${said(diff)}; both ${(reach.cpu + diff.cpu).toFixed(2)} s; names of the 24 largest groups (${people}) ${said(names())}; ${memory()}\n` +
      `${''.padEnd(31)}${a.drivers.length} + ${a.vehicles.length} classes, ${alone.spots.length} different hoses, ${difference.groups.length} groups, ${changed} of ${difference.looked} points changed`,
  );
  return reach.cpu + diff.cpu;
}

const base: Size = { drivers: 20_000, vehicles: 15_000, sites: 400, hoses: 8, rules: 600 };
const before = estate(base);
if (process.argv.includes('--million')) {
  const people = crowdOf({ ...base, drivers: 600_000, vehicles: 400_000 }, 200);
  measure(people, later(people), '1,000,000 credentials, 200 groups');
  process.exit();
}
measure(before, later(before), '20,000 x 15,000 x 400 x 8');
if (process.argv.includes('--growth')) {
  for (const [label, size] of [
    ['roster half', { ...base, drivers: 10_000, vehicles: 7500 }],
    ['roster twice', { ...base, drivers: 40_000, vehicles: 30_000 }],
    ['rules half', { ...base, rules: 300 }],
    ['rules twice', { ...base, rules: 1200 }],
    ['sites half', { ...base, sites: 200 }],
    ['sites twice', { ...base, sites: 800 }],
  ] as const) {
    const fleet = estate(size);
    measure(fleet, later(fleet), label);
  }
}

/** One edit after another of a draft: what the desk does while somebody types. From nothing changed, and on top of a quarter's changes. */
function edits(draft: Fleet, count: number, label: string): void {
  const random = seeded(77);
  const pick = (rows: ReadonlyMap<string, AnyRow>) => {
    const ids = [...rows.keys()];
    return rows.get(ids[Math.floor(random() * ids.length)] as string) as AnyRow & Record<string, unknown>;
  };
  const GAL = 3_785_412;
  const kinds: readonly [keyof Fleet & string, (row: Record<string, unknown>) => Record<string, unknown>][] = [
    ['allowances', (r) => ({ perFill: ((r.perFill as number) ?? 0) + GAL })],
    ['allowances', () => ({ times: [{ days: [0, 1, 2, 3, 4], from: 360 + 30 * Math.floor(random() * 8), to: 1140 }] })],
    ['allowances', (r) => ({ sites: ((r.sites as string[]) ?? [...draft.sites.keys()]).slice(1) })],
    ['drivers', () => ({ allowances: [pick(draft.allowances as never).id] })],
    ['drivers', (r) => ({ active: !r.active })],
    ['vehicles', (r) => ({ capacity: ((r.capacity as number) ?? 0) + 5 * GAL })],
    ['credentials', (r) => ({ stopped: !r.stopped })],
    ['hoses', (r) => ({ mostPerFill: (r.mostPerFill as number) - GAL })],
    ['sites', () => ({ closed: ['2026-12-25', '2027-01-01'] })],
  ];
  const book = new Book();
  const running = reachTable(compile(before, zones), horizon, book);
  let fleet = draft;
  let table = reachTable(compile(fleet, zones), horizon, book);
  const live = finish(LiveDifference.begin(running, table));
  // What a page shows at first: the six largest of each kind, with their names. It was shown before anybody edits.
  const show = () => {
    const shown: Record<string, number> = {};
    for (const g of live.difference().groups) {
      const had = shown[g.kind] ?? 0;
      shown[g.kind] = had + 1;
      if (had < 6) void g.drivers.size;
    }
  };
  show();
  const times: { cpu: number; wall: number; kind: string }[] = [];
  for (let n = 0; n < count; n++) {
    const [name, change] = kinds[n % kinds.length] as (typeof kinds)[number];
    const row = pick(fleet[name] as never);
    const next = { ...row, ...change(row) };
    fleet = {
      ...fleet,
      [name]: Patched.of(fleet[name] as ReadonlyMap<string, AnyRow>, new Map([[row.id, next as AnyRow]])),
    };
    const forEdit = clock();
    const policy = revise(table.policy, fleet, zones);
    if (!policy) throw new Error(`an edit of ${name} could not be revised`);
    table = revisedTable(table, policy);
    live.edit(table);
    show();
    times.push({ ...forEdit(), kind: `${name} ${Object.keys(change(row)).join()}` });
  }
  const at = (list: number[], q: number) =>
    ((list.sort((a, b) => a - b)[Math.floor(list.length * q)] as number) * 1000).toFixed(0);
  const by = [...new Set(times.map((t) => t.kind))].map((k) => {
    const of = times.filter((t) => t.kind === k).map((t) => t.cpu);
    return `${k} ${at(of, 0.5)}/${at(of, 0.95)}`;
  });
  const [cpu, wall] = [times.map((t) => t.cpu), times.map((t) => t.wall)];
  // The engine has not translated much of it by then.
  const first = Math.max(...cpu.slice(0, kinds.length));
  console.log(
    `${label}: ${count} edits, the longest of the first ${kinds.length} ${(first * 1000).toFixed(0)} ms, median ${at(cpu, 0.5)} ms, p95 ${at(cpu, 0.95)} ms of processor (wall ${at(wall, 0.5)} and ${at(wall, 0.95)} ms); median/p95 by kind: ${by.join(', ')}; ${memory()}`,
  );
}
edits(before, 270, 'edits of a draft like what runs');
edits(later(before), 90, "edits on a quarter's changes");

/** Brute force, by sampling: what a decision a point would cost over the whole. */
const policy = compile(before, zones);
const SAMPLE = 50_000;
const hoses = [...before.hoses.values()];
const forBrute = clock();
let open = 0;
for (let i = 0; i < SAMPLE; i++) {
  const hose = hoses[(i * 7919) % hoses.length] as (typeof hoses)[number];
  const credentials = [String(10_000_000 + ((i * 31) % base.drivers)), String(30_000_000 + ((i * 17) % base.vehicles))];
  const at = Date.UTC(2026, 10, 25) + ((i * 613) % 10_080) * 60_000;
  const request = { site: hose.site, hose: hose.id, at, credentials, pin: 'right' as const, answers: {} };
  if (decide(policy, request, NO_USAGE).approved) open++;
}
const each = forBrute().cpu / SAMPLE;
const points = BigInt(base.drivers + 1) * BigInt(base.vehicles + 1) * BigInt(hoses.length) * 10_080n;
const own = clock();
const table = reachTable(policy, horizon);
finish(LiveDifference.begin(table, table));
console.log(
  `brute force over one week would take ${((Number(points) * each) / 86_400 / 365).toFixed(0)} years (${points} points, ${(each * 1e6).toFixed(2)} us each, ${((open / SAMPLE) * 100).toFixed(1)} % open): ${((Number(points) * each) / own().cpu).toExponential(1)} times reach`,
);
