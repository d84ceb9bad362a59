import { compile, decide, NO_USAGE, why } from '@fillwright/core/decide';
import { seeded } from '@fillwright/core/test/small-world.ts';
import { type ZoneTable, zoneTable } from '@fillwright/core/units';
import { estate } from './estate.ts';

/**
 * What would have had to be different, asked of refused requests in a large estate: the help desk's wait. The peer is the decision that
 * was refused. Prints milliseconds of the processor; refused for the vehicle's or the driver's allowance, the place, the time, one card alone.
 */
const made = new Map<string, ZoneTable>();
const zones = (zone: string) => {
  const known = made.get(zone) ?? zoneTable(zone, 2025, 2028);
  made.set(zone, known);
  return known;
};
const CASES = Number(process.env.CASES ?? 60);
const fleet = estate({ drivers: 20_000, vehicles: 15_000, sites: 400, hoses: 8, rules: 600 });
const policy = compile(fleet, zones);
const random = seeded(31);
const below = (n: number) => Math.floor(random() * n);
const hoses = [...fleet.hoses.values()];
const usage = { used: {}, readings: {}, cutOff: false };

function cpu<T>(what: () => T): { ms: number; value: T } {
  const from = process.cpuUsage();
  const value = what();
  const used = process.cpuUsage(from);
  return { ms: (used.user + used.system) / 1000, value };
}

const times: { rule: string; ms: number; remedies: number }[] = [];
while (times.length < CASES) {
  const hose = hoses[below(hoses.length)] as (typeof hoses)[number];
  const driver = String(10_000_000 + below(20_000));
  const vehicle = String(30_000_000 + below(15_000));
  const credentials = [[driver, vehicle], [driver], [vehicle]][times.length % 3] as string[];
  const at = Date.UTC(2026, 10, 25) + below(10_080) * 60_000;
  const request = { site: hose.site, hose: hose.id, at, credentials, pin: 'right' as const, answers: {} };
  if (decide(policy, request, NO_USAGE).approved) continue;
  const { ms, value } = cpu(() => why({ fleet, request, usage }, zones));
  times.push({ rule: value.rule, ms, remedies: value.remedies.length });
}
const at = (list: readonly number[], q: number) =>
  ([...list].sort((a, b) => a - b)[Math.min(list.length - 1, Math.floor(list.length * q))] as number).toFixed(0);
const all = times.map((t) => t.ms);
console.log(
  `${CASES} refusals of 20,000 x 15,000: median ${at(all, 0.5)} ms, p95 ${at(all, 0.95)} ms, longest ${at(all, 1)} ms of processor; smallest remedies at most ${Math.max(...times.map((t) => t.remedies))}`,
);
for (const rule of new Set(times.map((t) => t.rule))) {
  const of = times.filter((t) => t.rule === rule).map((t) => t.ms);
  console.log(`  ${rule.padEnd(16)} ${of.length}: median ${at(of, 0.5)} ms, longest ${at(of, 1)} ms`);
}
