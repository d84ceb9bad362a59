import { compile } from '@fillwright/core/decide';
import { CHECKS, contextOf, findings } from '@fillwright/core/findings';
import { type Fleet, newRow } from '@fillwright/core/fleet';
import { possible, reachTable } from '@fillwright/core/reach';
import type { ZoneTable } from '@fillwright/core/units';
import { estate } from '../reach/estate.ts';

/**
 * Findings of a large draft in processor time: all of them, the slowest checks, the share of what can happen at all (which four checks ask),
 * and how they grow with roster and places. `npx tsx bench/findings/main.ts`; ROUNDS=3 is shorter.
 */
const ROUNDS = Number(process.env.ROUNDS ?? 5);
const TODAY = Date.UTC(2026, 5, 1) / 86_400_000;
const UTC: ZoneTable = { zone: 'UTC', at: [Number.NEGATIVE_INFINITY], offsetMin: [0] };

/** An estate with cards for each driver and vehicle and 5,000 that name both; `of` is 1 for 20,000 drivers, 15,000 vehicles, 400 sites, 600 allowances. */
function large(roster: number, places: number): Fleet {
  const n = (whole: number, of: number) => Math.round(whole * of);
  const fleet = estate({
    drivers: n(20_000, roster),
    vehicles: n(15_000, roster),
    sites: n(400, places),
    hoses: 8,
    rules: n(600, places),
  });
  const cards = fleet.credentials as Map<string, ReturnType<typeof newRow<'credentials'>>>;
  for (let i = 0; i < n(5_000, roster); i++)
    cards.set(
      `cb${i}`,
      newRow('credentials', {
        id: `cb${i}`,
        number: String(50_000_000 + i),
        driver: `d${i * 3}`,
        vehicle: `v${i * 2}`,
      }),
    );
  return fleet;
}

/** Seconds of processor, and what came of it. */
function timed<T>(work: () => T): { readonly s: number; readonly value: T } {
  const began = process.cpuUsage();
  const value = work();
  const { user, system } = process.cpuUsage(began);
  return { s: (user + system) / 1e6, value };
}

const median = (list: readonly number[]) => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)] as number;
const rounds = (work: () => unknown) => median(Array.from({ length: ROUNDS }, () => timed(work).s));

const whole = large(1, 1);
const cold = timed(() => findings(whole, { today: TODAY }));
console.log(
  `${whole.drivers.size} drivers, ${whole.vehicles.size} vehicles, ${whole.credentials.size} credentials, ${whole.sites.size} sites, ${whole.allowances.size} allowances: ${cold.value.length} findings`,
);
console.log(`cold ${cold.s.toFixed(2)} s, warm ${rounds(() => findings(whole, { today: TODAY })).toFixed(2)} s`);

const parts = (fleet: Fleet) => {
  const tableOf = () =>
    reachTable(
      compile(fleet, () => UTC),
      [TODAY, TODAY + 2_000_000],
    );
  const table = tableOf();
  return { table: rounds(tableOf), can: rounds(() => possible(table)) };
};
const { table, can } = parts(whole);
console.log(`of it what can happen at all ${can.toFixed(2)} s, beside ${table.toFixed(2)} s for policy and classes`);

// On one context that has been asked before: what the checks share is not any one's.
const ctx = contextOf(whole, TODAY);
const each = (find: (typeof CHECKS)[number]['find']) => Array.from(find(ctx)).length;
for (const check of CHECKS) each(check.find);
const took = CHECKS.map(({ code, find }) => ({ code, ms: 1000 * rounds(() => each(find)), n: each(find) }));
took.sort((a, b) => b.ms - a.ms);
console.log(`the slowest five of ${CHECKS.length} checks, what they share apart:`);
for (const { code, ms, n } of took.slice(0, 5)) console.log(`  ${code.padEnd(30)} ${ms.toFixed(1)} ms, ${n} findings`);
console.log(`  all together ${took.reduce((sum, t) => sum + t.ms, 0).toFixed(0)} ms`);

console.log('how it grows: all findings, of it what can happen at all (s)');
for (const [words, roster, places] of [
  ['roster a quarter', 0.25, 1],
  ['roster half', 0.5, 1],
  ['as above', 1, 1],
  ['roster twice', 2, 1],
  ['places and allowances half', 1, 0.5],
  ['places and allowances twice', 1, 2],
] as const) {
  const fleet = large(roster, places);
  const all = rounds(() => findings(fleet, { today: TODAY }));
  console.log(`  ${words.padEnd(28)} ${all.toFixed(2)}, ${parts(fleet).can.toFixed(2)}`);
}
