import { compile, decide, NO_USAGE } from '@fillwright/core/decide';
import { emptyFleet, type Fleet, newRow } from '@fillwright/core/fleet';
import { zoneTable } from '@fillwright/core/units';
import { type Contender, casbin, casl, cedarEngine, fillwright, floor, jsonRules } from './engines.ts';
import { workload } from './workload.ts';

/** Decisions a second against four general engines and a hand-compiled floor, on one workload with equal answers; medians of rounds. */

const w = workload({ drivers: 2000, groups: 40, sites: 10, hoses: 8, asks: 100_000 });
const ROUNDS = Number(process.env.ROUNDS ?? 7);

/** Requests a round: enough for a few tenths of a second each. */
const plan: [Contender, number][] = [
  [fillwright(w), 500_000],
  [floor(w), 500_000],
  [casl(w), 50_000],
  [cedarEngine(w), 2000],
  [await casbin(w), 10_000],
  [jsonRules(w), 3000],
];

const reference = w.asks.map((a) => plan[1]?.[0].answer(a) as boolean);
for (const [c, n] of plan) {
  const some = Math.min(n, 10_000);
  for (let i = 0; i < some; i++) {
    const ask = w.asks[i];
    if (ask && (await c.answer(ask)) !== reference[i]) throw new Error(`${c.name} answers request ${i} otherwise`);
  }
}
console.log('every engine gives the same answer to the first requests (10,000 each, fewer where it is slow)');

const rates = new Map<Contender, number[]>(plan.map(([c]) => [c, []]));
for (let round = 0; round <= ROUNDS; round++) {
  for (const [c, n] of plan) {
    const began = performance.now();
    const waits = c.name.startsWith('json');
    for (let i = 0; i < n; i++) {
      const answer = c.answer(w.asks[i % w.asks.length] as (typeof w.asks)[number]);
      if (waits) await answer;
    }
    if (round > 0) rates.get(c)?.push(n / ((performance.now() - began) / 1000));
  }
}
const median = (list: readonly number[]) => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)] as number;
const rateOf = (i: number) => median(rates.get((plan[i] as [Contender, number])[0]) as number[]);
for (const [i, [c]] of plan.entries()) {
  console.log(
    `${c.name.padEnd(52)} ${Math.round(rateOf(i)).toLocaleString('en').padStart(12)}/s   ${(rateOf(0) / rateOf(i)).toFixed(2)} x`,
  );
}

const mine = (plan[0] as [Contender, number])[0];
const times: number[] = [];
for (let i = 0; i < 200_000; i++) {
  const began = process.hrtime.bigint();
  mine.answer(w.asks[i % w.asks.length] as (typeof w.asks)[number]);
  times.push(Number(process.hrtime.bigint() - began));
}
times.sort((a, b) => a - b);
console.log(`one decision: p50 ${times[100_000]} ns, p99 ${times[198_000]} ns (with the clock's own cost)`);

if (process.argv.includes('--large')) for (let round = 0; round < 3; round++) large();

/** A roster of a million credentials: memory and processor time to make ready. */
function large(): void {
  const fleet = emptyFleet({ name: 'Large', units: 'us', currency: 'USD' });
  const small = workload({ drivers: 1, groups: 200, sites: 10, hoses: 8, asks: 1 });
  const big: Fleet = { ...fleet, ...small.fleet, drivers: new Map(), credentials: new Map() };
  const drivers = big.drivers as Map<string, unknown>;
  const credentials = big.credentials as Map<string, unknown>;
  for (let i = 0; i < 1_000_000; i++) {
    const id = `d${i}`;
    drivers.set(id, newRow('drivers', { id, name: id, allowances: [`g${i % 200}`] }));
    credentials.set(`c${i}`, newRow('credentials', { id: `c${i}`, number: String(7_000_000 + i), driver: id }));
  }
  global.gc?.();
  const before = process.memoryUsage().heapUsed;
  const began = process.cpuUsage();
  const policy = compile(big, (zone) => zoneTable(zone, 2025, 2027));
  const spent = process.cpuUsage(began);
  const took = (spent.user + spent.system) / 1e6;
  global.gc?.();
  const grew = (process.memoryUsage().heapUsed - before) / 1e6;
  const d = decide(
    policy,
    { site: 's0', hose: 's0-h0', at: 0, credentials: ['7999999'], pin: 'notAsked', answers: {} },
    NO_USAGE,
  );
  console.log(
    `1,000,000 credentials: ${took.toFixed(2)} s of processor to make ready, ${grew.toFixed(0)} MB beside the fleet itself (${d.approved ? 'approves' : 'declines'})`,
  );
}
