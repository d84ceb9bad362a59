import { compile, decide, LEAST_USEFUL, NO_USAGE } from '@fillwright/core/decide';
import { type Expectation, type Fleet, newRow, type RowOf, type TableName } from '@fillwright/core/fleet';
import { checkExpectations, reachTable, type Table, type Verdict } from '@fillwright/core/reach';
import { seeded } from '@fillwright/core/test/small-world.ts';
import { type ZoneTable, zoneTable } from '@fillwright/core/units';
import { estate } from './estate.ts';

/** 500 expectations of every shape on a large estate, once its table exists; and what one of them would cost by trying points. */

const made = new Map<string, ZoneTable>();
const zones = (zone: string) => {
  const known = made.get(zone) ?? zoneTable(zone, 2025, 2028);
  made.set(zone, known);
  return known;
};
const FIRST = Date.UTC(2026, 10, 25) / 86_400_000;
const GAL = 3_785_412;
const median = (list: number[]) => [...list].sort((a, b) => a - b)[list.length >> 1] as number;

/** Forty departments and cost centres among the holders. */
function grouped(fleet: Fleet): void {
  const put = <T extends TableName>(table: T, row: RowOf<T>) =>
    (fleet[table] as unknown as Map<string, RowOf<T>>).set(row.id, row);
  for (let i = 0; i < 40; i++) put('costCentres', newRow('costCentres', { id: `c${i}`, name: `c${i}` }));
  const more = (n: number) => ({ department: `Department ${n % 40}`, costCentre: `c${(n * 7) % 40}` });
  let n = 0;
  for (const row of fleet.drivers.values()) put('drivers', { ...row, ...more(n++) });
  for (const row of fleet.vehicles.values()) put('vehicles', { ...row, ...more(n++) });
}

function wishes(count: number): Expectation[] {
  const random = seeded(11);
  const below = (n: number) => Math.floor(random() * n);
  const pick = <T>(list: readonly T[]): T => list[below(list.length)] as T;
  return Array.from({ length: count }, (_, i) => {
    const who = pick(['everyone', 'driver', 'vehicle', 'department', 'department', 'costCentre', 'nobodyBut'] as const);
    const name = {
      everyone: '',
      driver: `d${below(20_000)}`,
      vehicle: `v${below(15_000)}`,
      costCentre: `c${below(40)}`,
    };
    return newRow('expectations', {
      id: `e${i}`,
      who,
      whoName: who === 'department' || who === 'nobodyBut' ? `Department ${below(40)}` : name[who],
      must: pick(
        who === 'nobodyBut' ? (['can', 'atLeast'] as const) : (['can', 'never', 'atLeast', 'atMost'] as const),
      ),
      // Half of the limits are above everything that is allowed, so that nothing is found early.
      quantity: random() < 0.5 ? 150 * GAL : (10 + below(12) * 10) * GAL,
      product: random() < 0.75 ? pick(['petrol', 'diesel', 'dyed', 'def']) : null,
      site: random() < 0.5 ? `s${below(400)}` : null,
      times: random() < 0.5 ? null : [{ days: [0, 1, 2, 3, 4], from: 360 + below(8) * 60, to: 900 }],
    });
  });
}

function check(table: Table, rows: readonly Expectation[]): ReadonlyMap<string, Verdict> {
  const steps = checkExpectations(table, rows);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

const fleet = estate({ drivers: 20_000, vehicles: 15_000, sites: 400, hoses: 8, rules: 600 });
grouped(fleet);
const began = performance.now();
const policy = compile(fleet, zones);
const table = reachTable(policy, [FIRST, FIRST + 364]);
console.log(
  `table ${((performance.now() - began) / 1000).toFixed(2)} s (${table.drivers.length} driver classes, ${table.vehicles.length} vehicle classes, ${table.hoses.length} hose classes)`,
);
const rows = wishes(500);
const times: number[] = [];
let verdicts: ReadonlyMap<string, Verdict> = new Map();
for (let i = 0; i < 3; i++) {
  // The processor's own time: what others do on the machine meanwhile is not counted.
  const from = process.cpuUsage();
  verdicts = check(table, rows);
  times.push(process.cpuUsage(from).user / 1000);
}
const counts = new Map<string, number>();
for (const v of verdicts.values()) counts.set(v.verdict, (counts.get(v.verdict) ?? 0) + 1);
console.log(
  `500 expectations, processor time: median ${median(times).toFixed(0)} ms of ${times.map((t) => t.toFixed(0)).join(', ')} (${[...counts].map(([k, n]) => `${n} ${k}`).join(', ')})`,
);

/** 'Everyone can draw at most 150 gallons', by trying one decision a point, from a sample. */
const sample = 100_000;
const hoses = [...fleet.hoses.values()];
const t = performance.now();
let offending = 0;
for (let i = 0; i < sample; i++) {
  const hose = hoses[(i * 7919) % hoses.length] as (typeof hoses)[number];
  const cards = [String(10_000_000 + ((i * 31) % 20_000)), String(30_000_000 + ((i * 17) % 15_000))];
  const at = Date.UTC(2026, 10, 25) + ((i * 613) % 10_080) * 60_000;
  const d = decide(
    policy,
    { site: hose.site, hose: hose.id, at, credentials: cards, pin: 'right', answers: {} },
    NO_USAGE,
  );
  if (d.approved && d.limit > Math.max(LEAST_USEFUL, 150 * GAL)) offending++;
}
const each = (performance.now() - t) / sample;
const points = 20_001 * 15_001 * hoses.length * 10_080;
console.log(
  `one of them by trying every point of a week: ${((points * each) / 1000 / 86_400 / 365).toFixed(0)} years (${(each * 1000).toFixed(2)} us a point, ${offending} found)`,
);
