import { compile, revise } from '@fillwright/core/decide';
import type { AnyRow, Fleet } from '@fillwright/core/fleet';
import {
  Book,
  differenceOf,
  LiveDifference,
  NARROWED_TO_NOTHING,
  type Narrowing,
  narrowed,
  reachTable,
  revisedTable,
  sectionsOf,
  sitePair,
  type Table,
} from '@fillwright/core/reach';
import { seeded } from '@fillwright/core/test/small-world.ts';
import { type ZoneTable, zoneTable } from '@fillwright/core/units';
import { estate, later } from './estate.ts';

/**
 * What the desk works out beside one edited row of a large estate, on top of a quarter's changes: the edit itself and then the difference of one
 * driver, vehicle, hose or site with the names of its groups; and what it does on request: a department, a site against another, whom nothing
 * touches. Milliseconds of processor.
 */
const made = new Map<string, ZoneTable>();
const zones = (zone: string) => {
  const known = made.get(zone) ?? zoneTable(zone, 2025, 2028);
  made.set(zone, known);
  return known;
};
const FIRST = Date.UTC(2026, 10, 25) / 86_400_000;
const horizon = [FIRST, FIRST + 364] as const;

function finish<T>(steps: Generator<unknown, T>): T {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

function timed<T>(deed: () => T): [T, number] {
  const from = process.cpuUsage();
  const value = deed();
  const used = process.cpuUsage(from);
  return [value, (used.user + used.system) / 1000];
}

const before = estate({ drivers: 20_000, vehicles: 15_000, sites: 400, hoses: 8, rules: 600 });
const random = seeded(5);
const pick = (rows: ReadonlyMap<string, AnyRow>): AnyRow & Record<string, unknown> => {
  const ids = [...rows.keys()];
  return rows.get(ids[Math.floor(random() * ids.length)] as string) as AnyRow & Record<string, unknown>;
};
const GAL = 3_785_412;
const TIMES = 40;
const EDITS: Readonly<Record<string, (row: Record<string, unknown>, fleet: Fleet) => Record<string, unknown>>> = {
  drivers: (_, fleet) => ({ allowances: [pick(fleet.allowances as never).id] }),
  vehicles: (row) => ({ capacity: ((row.capacity as number | null) ?? 0) + 5 * GAL }),
  hoses: (row) => ({ mostPerFill: (row.mostPerFill as number) - GAL }),
  sites: () => ({ closed: ['2026-12-25', '2027-01-01'] }),
};

let fleet = later(before);
const book = new Book();
const running = reachTable(compile(before, zones), horizon, book);
let table: Table = reachTable(compile(fleet, zones), horizon, book);
const live = finish(LiveDifference.begin(running, table));

function look(to: Partial<Narrowing>): number {
  const found = finish(narrowed(live, sectionsOf(before, fleet, { ...NARROWED_TO_NOTHING, ...to })));
  for (const g of found.groups.slice(0, 24)) void g.drivers.size;
  return found.groups.length;
}

for (const name of ['drivers', 'vehicles', 'hoses', 'sites'] as const) {
  const times: [number, number][] = [];
  let groups = 0;
  for (let n = 0; n < TIMES; n++) {
    const row = pick(fleet[name] as never);
    const next = { ...row, ...EDITS[name]?.(row, fleet) };
    fleet = { ...fleet, [name]: new Map(fleet[name] as never).set(row.id as never, next as never) };
    const [, edited] = timed(() => {
      const policy = revise(table.policy, fleet, zones);
      if (!policy) throw new Error(`an edit of ${name} could not be revised`);
      table = revisedTable(table, policy);
      live.edit(table);
      live.difference();
    });
    const at = new Set([...fleet.hoses.values()].filter((h) => h.site === row.id).map((h) => h.id));
    const to: Partial<Narrowing> =
      name === 'drivers'
        ? { driver: row.id }
        : name === 'vehicles'
          ? { vehicle: row.id }
          : { hoses: name === 'hoses' ? new Set([row.id]) : at };
    const [found, looked] = timed(() => look(to));
    groups += found;
    times.push([edited, looked]);
  }
  const of = (n: 0 | 1, q: number) =>
    (times.map((t) => t[n]).sort((a, b) => a - b)[Math.floor(TIMES * q)] as number).toFixed(0);
  console.log(
    `${name}: the edit ${of(0, 0.5)}/${of(0, 0.95)} ms, its row ${of(1, 0.5)}/${of(1, 0.95)} ms (median/p95 of ${TIMES}), ${(groups / TIMES).toFixed(0)} groups`,
  );
}
const department = [...fleet.drivers.values()].find((d) => d.department !== '')?.department;
if (department) {
  const [groups, ms] = timed(() => look({ department }));
  console.log(`a department: ${ms.toFixed(0)} ms, ${groups} groups`);
}
const [first, second] = [...fleet.sites.keys()] as [string, string];
const [sites, ms] = timed(() => {
  const pair = sitePair(table, first, second);
  return finish(differenceOf(pair.before, pair.after)).groups.length;
});
console.log(`a site against another: ${ms.toFixed(0)} ms, ${sites} groups`);
const [whole, weekMs] = timed(() => finish(narrowed(live, sectionsOf(before, fleet, NARROWED_TO_NOTHING))));
const [touched, touchedMs] = timed(() => whole.touched());
console.log(
  `all of it over the week: ${weekMs.toFixed(0)} ms; whom it touches: ${touchedMs.toFixed(0)} ms, ${touched.drivers.size} drivers and ${touched.vehicles.size} vehicles`,
);
