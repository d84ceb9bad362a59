import { compile, decide, NO_USAGE } from '@fillwright/core/decide';
import type { Fleet } from '@fillwright/core/fleet';
import { accessOf, Book, type Difference, differenceOf, reachTable, type Table } from '@fillwright/core/reach';
import { type ZoneTable, zoneTable } from '@fillwright/core/units';
import { estate, later, type Size } from './estate.ts';

/** Full reach and difference of a large estate, one edit of it, and how each grows; the ratio to brute force by sampling. */

const made = new Map<string, ZoneTable>();
const zones = (zone: string) => {
  const known = made.get(zone) ?? zoneTable(zone, 2025, 2028);
  made.set(zone, known);
  return known;
};
const FIRST = Date.UTC(2026, 10, 25) / 86_400_000;
const horizon = [FIRST, FIRST + 364] as const;
const seconds = (began: number) => (performance.now() - began) / 1000;
const median = (list: number[]) => [...list].sort((a, b) => a - b)[list.length >> 1] as number;

function finish(steps: Generator<unknown, Difference>): Difference {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

/** Every class at every hose class: the whole table made, not only what is asked for. */
function fill(table: Table): number {
  let cells = 0;
  for (const hose of table.hoses) {
    for (const party of [...table.drivers, ...table.vehicles])
      if (party.list.at(hose.site, hose.product) !== null) cells++;
  }
  return cells;
}

function measure(size: Size, label: string): { before: Fleet; after: Fleet; whole: number } {
  const before = estate(size);
  const after = later(before);
  const began = performance.now();
  const book = new Book();
  const a = reachTable(compile(before, zones), horizon, book);
  const cells = fill(a);
  const reach = seconds(began);
  const from = performance.now();
  const b = reachTable(compile(after, zones), horizon, book);
  const difference = finish(differenceOf(a, b));
  const diff = seconds(from);
  const memory = process.memoryUsage().rss / 1e6;
  const total = Object.values(difference.points).reduce((n, p) => n + p, 0n);
  console.log(
    `${label.padEnd(28)} reach ${reach.toFixed(2)} s (${a.drivers.length} driver classes, ${a.vehicles.length} vehicle classes, ${a.hoses.length} hose classes, ${cells} cells) · difference ${diff.toFixed(2)} s, ${difference.groups.length} groups, ${total} of ${difference.looked} points changed · rss ${memory.toFixed(0)} MB`,
  );
  return { before, after, whole: reach + diff };
}

const base: Size = { drivers: 20_000, vehicles: 15_000, sites: 400, hoses: 8, rules: 600 };
const { before } = measure(base, '20,000 x 15,000 x 400 x 8');
if (process.argv.includes('--growth')) {
  measure({ ...base, drivers: 40_000, vehicles: 30_000 }, 'roster twice');
  measure({ ...base, sites: 800 }, 'sites twice');
  measure({ ...base, rules: 1200 }, 'rules twice');
  measure({ ...base, drivers: 10_000, vehicles: 7500 }, 'roster half');
}

/** One edit of an allowance against what runs: what the desk does while somebody types. */
const running = reachTable(compile(before, zones), horizon);
const times: number[] = [];
const ids = [...before.allowances.keys()];
for (let i = 0; i < 40; i++) {
  const row = before.allowances.get(ids[(i * 37) % ids.length] as string);
  if (!row) continue;
  const edited = {
    ...before,
    allowances: new Map(before.allowances).set(row.id, { ...row, perFill: (row.perFill ?? 0) + 3_785_412 * (1 + i) }),
  };
  const began = performance.now();
  finish(differenceOf(running, reachTable(compile(edited, zones), horizon, running.book)));
  times.push(performance.now() - began);
}
times.sort((a, b) => a - b);
console.log(
  `one edit against what runs: median ${median(times).toFixed(0)} ms, p95 ${(times[Math.floor(times.length * 0.95)] as number).toFixed(0)} ms`,
);

/** Brute force, by sampling: what a decision a point would cost over the whole. */
const policy = compile(before, zones);
const sample = 200_000;
const hoses = [...before.hoses.values()];
let t = performance.now();
let n = 0;
for (let i = 0; i < sample; i++) {
  const hose = hoses[(i * 7919) % hoses.length] as (typeof hoses)[number];
  const cards = [String(10_000_000 + ((i * 31) % base.drivers)), String(30_000_000 + ((i * 17) % base.vehicles))];
  if (
    decide(
      policy,
      {
        site: hose.site,
        hose: hose.id,
        at: Date.UTC(2026, 10, 25) + ((i * 613) % 10_080) * 60_000,
        credentials: cards,
        pin: 'right',
        answers: {},
      },
      NO_USAGE,
    ).approved
  )
    n++;
}
const each = (performance.now() - t) / sample;
const points = BigInt(base.drivers + 1) * BigInt(base.vehicles + 1) * BigInt(hoses.length) * 10_080n;
t = performance.now();
const whole = reachTable(compile(before, zones), horizon);
fill(whole);
const own = performance.now() - t;
console.log(
  `brute force over one week would take ${((Number(points) * each) / 1000 / 86_400 / 365).toFixed(0)} years (${points} points, ${(each * 1000).toFixed(2)} us each, ${((n / sample) * 100).toFixed(1)} % open): ${((Number(points) * each) / own).toExponential(1)} times reach`,
);
void accessOf;
