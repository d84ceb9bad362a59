import { applyEdits, emptyFleet, type Fleet } from '@fillwright/core/fleet';
import readWorkbook from 'read-excel-file/node';
import { expect, test } from 'vitest';
import {
  type RawSheet,
  readIntakeHere,
  template,
  toCsvFiles,
  toFleet,
  toFleetByRows,
  toWorkbook,
} from '../src/index.ts';

const BASE = emptyFleet({ name: 'Sample', units: 'us', currency: 'USD' });
const sheet = (name: string, ...lines: string[]): RawSheet => ({
  name,
  rows: lines.map((line, i) => ({ number: i + 1, cells: line.split('|') })),
});
const fleetOf = (base: Fleet, ...sheets: RawSheet[]): Fleet => {
  const fleet = applyEdits(base, [...toFleet(sheets, base).edits]);
  if (!fleet.ok) throw new Error(JSON.stringify(fleet.error));
  return fleet.value;
};
const places = (...sheets: RawSheet[]) =>
  toFleet(sheets, BASE).problems.map((p) => [p.code, p.at?.in, p.at?.row, p.at?.field, p.found]);

const SITES = sheet('Sites', 'Name|Time zone|Closed on', 'North Yard|America/Chicago|2026-12-25; 2027-01-01');
const PRODUCTS = sheet('products', 'ID|Name|Kind', 'dsl|Diesel|diesel');
const ALLOWANCES = sheet(
  'ALLOWANCES',
  'name|Products|Per fill (gal)|Per day (l)|Times|Sites',
  'Day shift|Diesel|40|100|Mon-Fri 06:00-18:00; Sat 08:00-12:00|north yard',
  'Nobody|none|no limit||never|none',
);

test('strapping tables stand in a sheet of their own, with their units stated', () => {
  const tanks = sheet('Tanks', 'Name|Site|Product', 'T1|North Yard|dsl', 'T2|North Yard|dsl');
  const rows = ['Tank|Dip (in)|Volume (gal)', 'T1|0|0', 'T2|0|0', 'T1|0.125|3.5', 'T2|1|12', 'T1|96|10,000'];
  const fleet = fleetOf(BASE, SITES, PRODUCTS, tanks, sheet('Strapping', ...rows));
  const chart = (name: string) => [...fleet.tanks.values()].find((t) => t.name === name)?.chart;
  expect(chart('T1')).toEqual({
    dip: 'in',
    volume: 'gal',
    rows: [
      [0, 0],
      [1_250, 35_000],
      [960_000, 100_000_000],
    ],
  });
  expect(chart('T2')?.rows).toHaveLength(2);
  // A row that cannot be read keeps the whole table out; a tank that is not there, a unit that is not stated are said.
  const bad = sheet('Strapping', 'Tank|Dip (cm)|Volume (l)', 'T1|0|0', 'T1|x|5', 'T1|2|9', 'T9|0|0');
  expect(places(SITES, PRODUCTS, tanks, bad)).toEqual([
    ['FW-107', 'Strapping', 3, 'Dip', 'x 5'],
    ['FW-202', 'Strapping', 5, 'Tank', 'T9'],
  ]);
  const broken = toFleet([SITES, PRODUCTS, tanks, bad], BASE);
  expect(broken.edits.some((e) => e.op === 'set')).toBe(false);
  expect(places(SITES, PRODUCTS, tanks, sheet('Strapping', 'Tank|Dip|Volume (l)', 'T1|0|0'))).toEqual([
    ['FW-105', 'Strapping', undefined, 'dip', undefined],
  ]);
});

test('tables in any order and case are read, rows named by id or name', () => {
  const fleet = fleetOf(BASE, ALLOWANCES, SITES, PRODUCTS);
  expect(fleet.sites.get('north-yard')?.closed).toEqual(['2026-12-25', '2027-01-01']);
  expect(fleet.allowances.get('day-shift')).toMatchObject({
    products: ['dsl'],
    perFill: 151_416_471,
    perDay: 100_000_000,
    sites: ['north-yard'],
    times: [
      { days: [0, 1, 2, 3, 4], from: 360, to: 1080 },
      { days: [5], from: 480, to: 720 },
    ],
  });
  expect(fleet.allowances.get('nobody')).toMatchObject({ products: [], perFill: null, perDay: null, sites: [] });
});

test('the same sheets again change nothing; one cell changes one field', () => {
  const fleet = fleetOf(BASE, ALLOWANCES, SITES, PRODUCTS);
  const again = toFleet([ALLOWANCES, SITES, PRODUCTS], fleet);
  expect(again.edits).toEqual([]);
  expect(again.counts.allowances).toEqual({ new: 0, changed: 0, same: 2 });
  const one = toFleet([sheet('allowances', 'Id|Per fill', 'day-shift|50 l')], fleet);
  expect(one.edits).toEqual([{ op: 'set', table: 'allowances', id: 'day-shift', fields: { perFill: 50_000_000 } }]);
});

test('every bad cell has its sheet, row and column, and the good rows stand', () => {
  const drivers = sheet(
    'drivers',
    'Id|Name|Active|Valid from|Cost centre|Shoe size|Name',
    'ann|Ann|maybe|31/12/2026||9|',
    'bo|Bo|yes|2026-01-31|nothing|9|',
    'bo|Bo again|yes|||9|',
    'Not An Id|Cy|no|||9|',
    'dee||yes|||9|',
  );
  expect(places(drivers)).toEqual([
    ['FW-104', 'drivers', 1, 'Shoe size', 'Shoe size'],
    ['FW-108', 'drivers', 1, 'Name', 'Name twice'],
    ['FW-108', 'drivers', 4, 'Id', 'bo'],
    ['FW-107', 'drivers', 5, 'Id', 'Not An Id'],
    ['FW-107', 'drivers', 2, 'Active', 'maybe'],
    ['FW-107', 'drivers', 2, 'Valid from', '31/12/2026'],
    ['FW-202', 'drivers', 3, 'Cost centre', 'nothing'],
    ['FW-107', 'drivers', 6, 'Name', ''],
  ]);
  expect([...fleetOf(BASE, drivers).drivers.keys()]).toEqual(['bo']);
});

test('unknown and repeated sheets, and columns that are missing, are said once', () => {
  expect(places(sheet('shoes', 'a'), PRODUCTS, sheet('Product', 'Name', 'x'))).toEqual([
    ['FW-103', 'shoes', undefined, undefined, 'shoes'],
    ['FW-108', 'Product', undefined, undefined, 'a second sheet for products'],
  ]);
  expect(places(sheet('tanks', 'Site|Product', 'a|dsl', 'b|dsl')).filter(([code]) => code === 'FW-105')).toEqual([
    ['FW-105', 'tanks', undefined, 'Name', undefined],
  ]);
});

test('names of object members are only names here too', () => {
  const fleet = fleetOf(
    BASE,
    sheet('products', 'Id|Name', 'constructor|__proto__'),
    sheet('costCentres', '__proto__|name', 'a|b'),
  );
  expect(fleet.products.get('constructor')?.name).toBe('__proto__');
  expect(fleet.costCentres.get('b')?.name).toBe('b');
  expect(({} as Record<string, unknown>).name).toBeUndefined();
});

test('settings come with the sheets, and volumes are read in their units', () => {
  const settings = sheet('Settings', 'Fleet name|Units|Currency', 'River works|metric|eur');
  const fleet = fleetOf(BASE, settings, PRODUCTS, sheet('allowances', 'name|Per fill', 'a|40'));
  expect(fleet.settings).toEqual({ name: 'River works', units: 'metric', currency: 'EUR' });
  expect(fleet.allowances.get('a')?.perFill).toBe(40_000_000);
  expect(places(sheet('settings', 'Units', 'cups'))).toEqual([['FW-107', 'settings', 2, 'Units', 'cups']]);
});

test('no cell begins as a formula would', () => {
  const row = '=1+1|@x|-5|+1|=cmd|＝1';
  const fleet = fleetOf(BASE, sheet('products', 'Id|Name', ...row.split('|').map((t, i) => `p${i}|${t}`)));
  expect(fleet.products.size).toBe(6);
  const text = toCsvFiles(fleet).find((f) => f.name === 'products.csv')?.text ?? '';
  expect(text).toContain('"""=1+1"""');
  expect(text).not.toMatch(/(^|[,\n])"?[=+\-@＝]/);
});

test('an independent reader finds the same cells in the workbook', async () => {
  const fleet = fleetOf(BASE, ALLOWANCES, SITES, PRODUCTS, sheet('drivers', 'Name|Number', 'Ann <&> Bö|0123'));
  const sheets = await readWorkbook(Buffer.from(await toWorkbook(fleet)));
  const rows = (name: string) => sheets.find((s) => s.sheet === name)?.data ?? [];
  expect(rows('settings')).toEqual([
    ['Fleet name', 'Units', 'Currency'],
    ['Sample', 'us', 'USD'],
  ]);
  const driver = Object.fromEntries((rows('drivers')[0] ?? []).map((h, i) => [h, rows('drivers')[1]?.[i]]));
  expect(driver).toMatchObject({ Id: 'ann-bo', Name: 'Ann <&> Bö', Number: '0123', Sites: 'all', Active: 'yes' });
  const allowance = rows('allowances').find((r) => r[0] === 'day-shift') ?? [];
  expect(allowance).toContain(40);
  expect(allowance).toContain('Mon-Fri 06:00-18:00; Sat 08:00-12:00');
});

test('the template reads as nothing and explains every column', async () => {
  const bytes = await template(BASE.settings);
  const raw = await readIntakeHere([{ name: 'template.xlsx', bytes }]);
  if (!raw.ok) throw new Error(JSON.stringify(raw.error));
  expect(toFleet(raw.value.sheets, BASE)).toMatchObject({ edits: [], problems: [] });
  const notes = raw.value.sheets.find((s) => s.name === 'notes')?.rows.map((r) => r.cells) ?? [];
  expect(notes.find((r) => r[0] === 'tanks' && r[1] === 'Safe fill (%)')).toMatchObject({
    3: '95 %',
    4: expect.stringMatching(/280\.20/),
  });
});

test('how far a workbook is comes in rows: each is gone through to be named and to be read', () => {
  const people = sheet('Drivers', 'Name', ...Array.from({ length: 1200 }, (_, i) => `Ada Quill ${i}`));
  const cars = sheet('Vehicles', 'Name', ...Array.from({ length: 600 }, (_, i) => `Lorry ${i}`));
  const steps = toFleetByRows([people, cars], BASE);
  const said: { done: number; of: number }[] = [];
  let step = steps.next();
  for (; !step.done; step = steps.next()) said.push(step.value);
  const done = said.map((s) => s.done);
  expect(done).toEqual([...done].sort((a, b) => a - b));
  expect(new Set(said.map((s) => s.of))).toEqual(new Set([2 * (1201 + 601)]));
  expect(done.length).toBe(3 + 2 + 3 + 2);
  expect(step.value).toEqual(toFleet([people, cars], BASE));
});
