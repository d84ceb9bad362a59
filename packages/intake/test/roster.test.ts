import { applyEdits, emptyFleet, type Fleet } from '@fillwright/core/fleet';
import { expect, test } from 'vitest';
import { applyMapping, applyMappingByRows, guessMapping, mappingSchema, type RawSheet } from '../src/index.ts';

const BASE = emptyFleet({ name: 'Sample', units: 'us', currency: 'USD' });

const sheetOf = (...lines: string[]): RawSheet => ({
  name: 'roster',
  rows: lines.map((line, i) => ({ number: i + 1, cells: line.split('|') })),
});

const guess = (sheet: RawSheet) => {
  const mapping = guessMapping(
    sheet.rows[0]?.cells ?? [],
    sheet.rows.slice(1).map((r) => r.cells),
  );
  expect(mappingSchema.safeParse(JSON.parse(JSON.stringify(mapping))).success).toBe(true);
  return mapping;
};

const short = (sheet: RawSheet) =>
  Object.fromEntries(guess(sheet).columns.map((c) => [c.heading, c.to.map((t) => `${t.table}.${t.field}`).join(' ')]));

const applied = (base: Fleet, sheet: RawSheet): { fleet: Fleet; result: ReturnType<typeof applyMapping> } => {
  const result = applyMapping(sheet, guess(sheet), base);
  const fleet = applyEdits(base, [...result.edits]);
  if (!fleet.ok) throw new Error(JSON.stringify(fleet.error));
  return { fleet: fleet.value, result };
};

const YARD = sheetOf(
  'Emp No|Employee|Unit #|Tag|Card|Dept|PIN',
  '0412|Orla Vane|T-14|KX 4417|6006 4900 0001|Roads|1234',
  '0413|Pim Harrow|T-15|KX 4418|600649000002|Parks|9876',
);

test('a roster of people, units and cards is mapped and linked', () => {
  expect(short(YARD)).toEqual({
    'Emp No': 'drivers.number',
    Employee: 'drivers.name',
    'Unit #': 'vehicles.name',
    Tag: 'vehicles.plate',
    Card: 'credentials.number',
    Dept: 'drivers.department vehicles.department',
    PIN: '',
  });
  const { fleet, result } = applied(BASE, YARD);
  expect(result.problems).toEqual([]);
  expect(fleet.drivers.get('orla-vane')).toMatchObject({ number: '0412', department: 'Roads' });
  expect(fleet.vehicles.get('t-14')).toMatchObject({ plate: 'KX 4417', department: 'Roads' });
  const card = [...fleet.credentials.values()].find((c) => c.number === '600649000001');
  expect(card).toMatchObject({ driver: 'orla-vane', vehicle: 't-14', kind: 'card' });
  expect(JSON.stringify(result)).not.toContain('1234');
});

test('importing again changes what changed and doubles nothing', () => {
  const once = applied(BASE, YARD);
  expect(applied(once.fleet, YARD).result.edits).toEqual([]);
  const next = sheetOf(
    'Emp No|Employee|Unit #|Tag|Card|Dept',
    '0412|Orla Vane-Ruud|T-14|kx-4417|600649000001|Roads',
    '0499|Orla Vane|T-16|KX 4419|600649000003|Parks',
  );
  const twice = applied(once.fleet, next);
  expect(twice.result.problems).toEqual([]);
  expect(twice.result.counts.drivers).toEqual({ new: 1, changed: 1, same: 0 });
  expect(twice.fleet.drivers.get('orla-vane')?.name).toBe('Orla Vane-Ruud');
  expect([twice.fleet.drivers.size, twice.fleet.vehicles.size, twice.fleet.credentials.size]).toEqual([3, 3, 3]);
});

test('names in two columns, statuses in words and cells that speak for themselves', () => {
  const sheet = sheetOf(
    'LAST_NAME|First Name|Status|Key fob ID|X1|Remarks',
    'Quill|Ada|Active|700001|AB 1201|new',
    'Stone|Bex|Terminated|700002|CD 3402|',
    'Quill|Ada|Active|700003|EF 5603|',
  );
  expect(short(sheet)).toMatchObject({
    LAST_NAME: 'drivers.name',
    'Key fob ID': 'credentials.number',
    X1: 'vehicles.plate',
  });
  expect(guess(sheet).columns.find((c) => c.heading === 'X1')?.confidence).toBeLessThan(0.5);
  const { fleet, result } = applied(BASE, sheet);
  expect(result.problems).toEqual([]);
  expect([...fleet.drivers.values()].map((d) => [d.id, d.name, d.active])).toEqual([
    ['ada-quill', 'Ada Quill', true],
    ['bex-stone', 'Bex Stone', false],
  ]);
  expect(fleet.credentials.size).toBe(3);
});

test('a list of vehicles alone makes no people; bad cells have their place and good rows stand', () => {
  const sheet = sheetOf(
    'Vehicle|Reg. No.|Tank size|Department|constructor|__proto__',
    'Tipper 1|GR 1001|100|Works|a|b',
    'Tipper 2|GR 1002|plenty|Works|a|b',
    'Tipper 3|GR 1001||Works|a|b',
    '|||Works||',
  );
  expect(short(sheet)).toMatchObject({ Department: 'vehicles.department', constructor: '' });
  const { fleet, result } = applied(BASE, sheet);
  expect([...fleet.vehicles.values()].map((v) => [v.name, v.capacity])).toEqual([['Tipper 1', 378_541_178]]);
  expect(fleet.drivers.size).toBe(0);
  expect(result.problems.map((p) => [p.code, p.at?.row, p.at?.field, p.found])).toEqual([
    ['FW-107', 3, 'Tank size', 'plenty'],
    ['FW-108', 4, 'Name', 'Tipper 3'],
    ['FW-105', 5, undefined, undefined],
  ]);
});

test('rows of one name get ids of their own, in a long roster as in a short one', () => {
  const HEAD = 'Emp No|Employee|Card';
  const people = Array.from({ length: 400 }, (_, i) => `${9000 + i}|Orla Vane|${60_064_900 + i}`);
  const { fleet } = applied(BASE, sheetOf(HEAD, ...people));
  expect([...fleet.drivers.keys()]).toEqual(people.map((_, i) => (i === 0 ? 'orla-vane' : `orla-vane-${i + 1}`)));
  expect(fleet.credentials.size).toBe(400);
  const again = applyMapping(sheetOf(HEAD, ...people), guess(sheetOf(HEAD, ...people.slice(0, 40))), fleet);
  expect(again.edits).toEqual([]);
});

test('how far it is, is said in rows of the file', () => {
  const people = Array.from({ length: 1201 }, (_, i) => `${i}|Ada Quill ${i}`);
  const sheet = sheetOf('Emp No|Employee', ...people);
  const steps = applyMappingByRows(sheet, guess(sheet), BASE);
  const said = [];
  let step = steps.next();
  for (; !step.done; step = steps.next()) said.push(step.value);
  expect(said).toEqual([0, 500, 1000].map((done) => ({ done, of: 1201 })));
  expect(step.value).toEqual(applyMapping(sheet, guess(sheet), BASE));
});
