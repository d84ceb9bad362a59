import { FLAG_KINDS, type FlagFill, flags } from '@fillwright/core/flags';
import type { Fleet } from '@fillwright/core/fleet';
import { type ZoneTable, zoneTable } from '@fillwright/core/units';
import { fleetMonths, harrowmere } from '@fillwright/sim';

/** How many flags an ordinary month gives, over many seeds; and what they cost in processor time as the ledger grows. `npx tsx bench/flags/main.ts [SEEDS]` */
const DAY = 86_400_000;
const FROM = Date.UTC(2026, 0, 5);
const seeds = Number(process.argv[2] ?? 100);
const tables = new Map<string, ZoneTable>();
const zones = (zone: string): ZoneTable => {
  const table = tables.get(zone) ?? zoneTable(zone, 2025, 2028);
  tables.set(zone, table);
  return table;
};
const fleet = harrowmere();
const median = (list: number[]) => list.toSorted((a, b) => a - b)[list.length >> 1] as number;

const perDay: number[] = [];
const byKind = new Map(FLAG_KINDS.map((k) => [k.code, 0]));
for (let seed = 0; seed < seeds; seed++) {
  const { fills } = fleetMonths({ seed: `bench/${seed}`, fleet, from: FROM, days: 150 });
  const found = flags({ fleet, fills, loose: [], zones, since: FROM + 120 * DAY });
  for (const f of found) byKind.set(f.code, (byKind.get(f.code) ?? 0) + 1);
  perDay.push(found.length / 30 / (fleet.vehicles.size / 100));
}
console.log(`${seeds} ordinary months of ${fleet.vehicles.size} vehicles: flags a day per 100 vehicles`);
console.log(
  `  mean ${(perDay.reduce((a, b) => a + b, 0) / seeds).toFixed(2)}, median ${median(perDay).toFixed(2)}, most ${Math.max(...perDay).toFixed(2)} (promised: at most 6)`,
);
console.log(`  by kind over all: ${[...byKind].map(([code, n]) => `${code} ${n}`).join(', ')}`);

/** Text in one piece and of its own, as a database's driver gives it; joined text is put together when it is first compared. */
const flat = (text: string): string => Buffer.from(text).toString('latin1');

/** The same fleet many times over, so that each vehicle has its own habit. */
function many(times: number): { fleet: Fleet; fills: FlagFill[] } {
  const { fills } = fleetMonths({ seed: 'growth', fleet, from: FROM, days: 150 });
  const vehicles = new Map(fleet.vehicles);
  const all: FlagFill[] = [];
  for (let n = 0; n < times; n++) {
    for (const v of fleet.vehicles.values()) vehicles.set(`${v.id}~${n}`, { ...v, id: `${v.id}~${n}` });
    for (const f of fills)
      all.push({
        ...f,
        id: flat(`${f.id}~${n}`),
        vehicle: flat(`${f.vehicle}~${n}`),
        driver: f.driver && flat(`${f.driver}~${n}`),
      });
  }
  return { fleet: { ...fleet, vehicles }, fills: all };
}
const one = many(1).fills.length;
for (const size of [10_000, 100_000, 1_000_000]) {
  const given = many(Math.ceil(size / one));
  const rounds = size > 500_000 ? 1 : 3;
  const times: number[] = [];
  let count = 0;
  for (let i = 0; i < rounds; i++) {
    // Processor time: the wall's clock says little on a shared machine.
    const began = process.cpuUsage();
    count = flags({ ...given, loose: [], zones, since: FROM + 120 * DAY }).length;
    const used = process.cpuUsage(began);
    times.push((used.user + used.system) / 1000);
  }
  const ms = median(times);
  console.log(
    `${given.fills.length} fills of 150 days: ${(ms / 1000).toFixed(2)} s, ${((ms * 1000) / given.fills.length).toFixed(1)} us a fill, ${count} flags`,
  );
}
