import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  emptyFleet,
  type Field,
  fieldOf,
  fieldsOf,
  formatValue,
  newRow,
  parseValue,
  TABLE_NAMES,
  type TableName,
} from '../src/fleet/index.ts';

// One seed: what fails here fails for everybody.
fc.configureGlobal({ seed: 20_261_125 });

const us = emptyFleet({ name: 'Larkmoor Haulage', units: 'us', currency: 'USD' });
const metric = emptyFleet({ name: 'Larkmoor Haulage', units: 'metric', currency: 'EUR' });
const field = (table: TableName, name: string): Field => {
  const found = fieldOf(table, name);
  if (!found) throw new Error(`${table}.${name}`);
  return found;
};
const parsed = (f: Field, text: string, fleet = us): unknown => {
  const r = parseValue(f, text, fleet);
  return r.ok ? r.value : r.error.code;
};
const gal = (n: number) => Math.round(n * 3_785_411.784);

const anyId = fc.oneof(
  fc.constantFrom('none', 'all', 'no-limit', 'diesel'),
  fc.stringMatching(/^[a-z0-9][a-z0-9-]{0,12}$/),
);
const anyText = fc.string({ unit: 'grapheme', minLength: 1, maxLength: 30 }).filter((t) => !/\p{Cc}/u.test(t));
const anyDate = fc
  .date({ min: new Date('1990-01-01'), max: new Date('2100-01-01'), noInvalidDate: true })
  .map((d) => d.toISOString().slice(0, 10));
const anyWindow = fc.record({
  days: fc.array(fc.integer({ min: 0, max: 6 }), { maxLength: 7 }),
  from: fc.integer({ min: 0, max: 1439 }),
  to: fc.integer({ min: 0, max: 1440 }),
});

function anyLayout(fields: readonly string[]): fc.Arbitrary<unknown> {
  const align = fc.constantFrom('left', 'centre', 'right');
  const said = fc.oneof(anyText, fc.constantFrom('a; b', '|', 'say "so"', '\\', ' lead', 'blank'));
  const cell = fc.oneof(
    fc.record({ field: fc.constantFrom(...fields), align }),
    fc.record({ label: fc.constantFrom(...fields), align }),
    fc.record({ words: fc.record({ en: said, es: said, fr: said }, { requiredKeys: ['es'] }), align }),
  );
  return fc.array(fc.array(cell, { maxLength: 3 }), { maxLength: 4 });
}
const anyStrapping = fc.record({
  dip: fc.constantFrom('mm', 'cm', 'in'),
  volume: fc.constantFrom('l', 'gal'),
  rows: fc.array(fc.tuple(fc.integer({ min: 0, max: 1e12 }), fc.integer({ min: 0, max: 1e13 })), {
    minLength: 2,
    maxLength: 9,
  }),
});

function anyValue(f: Field): fc.Arbitrary<unknown> {
  const whole = () => fc.oneof(...[100, 1000, 100_000, 1_000_000_000_000].map((max) => fc.integer({ min: 0, max })));
  const of: Record<Field['kind'], () => fc.Arbitrary<unknown>> = {
    id: () => anyId,
    text: () => anyText,
    zone: () => fc.constantFrom('UTC', 'America/Chicago'),
    texts: () => fc.array(fc.oneof(anyText, fc.constantFrom('none', 'a; b', '"', ' lead')), { maxLength: 4 }),
    choice: () => fc.constantFrom(...Object.keys(f.choices ?? {})),
    flag: () => fc.boolean(),
    whole,
    milli: whole,
    volume: whole,
    flow: whole,
    length: whole,
    seconds: whole,
    minutes: whole,
    percent: () => fc.integer({ min: 0, max: 100 }),
    money: whole,
    date: () => anyDate,
    dates: () => fc.array(anyDate, { maxLength: 4 }),
    ref: () => anyId,
    refs: () => fc.array(anyId, { maxLength: 4 }),
    windows: () => fc.array(anyWindow, { maxLength: 4 }),
    choices: () => fc.uniqueArray(fc.constantFrom(...Object.keys(f.choices ?? {})), { minLength: 1 }),
    layout: () => anyLayout(Object.keys(f.choices ?? {})),
    chart: () => anyStrapping,
  };
  return fc.oneof({ weight: 1, arbitrary: fc.constant(null) }, { weight: 8, arbitrary: of[f.kind]() });
}

describe('a value as text', () => {
  const fields = TABLE_NAMES.flatMap((t) => fieldsOf(t).map((f) => [`${t}.${f.name}`, f] as const));

  it.each(fields)('%s reads back as what was written, with and without its unit, in both systems', (_, f) => {
    const valid = anyValue(f).filter((v) => f.schema.safeParse(v).success);
    fc.assert(
      fc.property(valid, fc.boolean(), fc.boolean(), (value, isUs, unit) => {
        const fleet = isUs ? us : metric;
        const text = formatValue(f, value, fleet, { unit });
        expect(parseValue(f, text, fleet)).toEqual({ ok: true, value });
      }),
      { numRuns: 60 },
    );
  });

  it('writes in the units of the fleet', () => {
    expect(formatValue(field('allowances', 'perFill'), gal(40), us)).toBe('40 gal');
    expect(formatValue(field('allowances', 'perFill'), 150_000_000, metric)).toBe('150 l');
    expect(formatValue(field('hoses', 'flow'), 37_900_000, metric)).toBe('37.9 l/min');
    expect(formatValue(field('hoses', 'pulses'), 99_875, us)).toBe('99.875');
    expect(formatValue(field('prices', 'price'), 42_500, us)).toBe('4.25 USD');
    expect(formatValue(field('allowances', 'perDay'), null, us)).toBe('no limit');
    expect(formatValue(field('sites', 'identify'), 'driver', us)).toBe('the driver');
    const times = [
      { days: [0, 1, 2, 3, 4], from: 360, to: 1080 },
      { days: [5], from: 480, to: 720 },
    ];
    expect(formatValue(field('allowances', 'times'), times, us)).toBe('Mon-Fri 06:00-18:00; Sat 08:00-12:00');
  });

  it('shows a value that the field cannot have instead of failing', () => {
    expect(formatValue(field('allowances', 'perFill'), { a: 1 }, us)).toBe('{"a":1}');
    expect(formatValue(field('sites', 'pin'), 'maybe', us)).toBe('"maybe"');
    expect(formatValue(field('allowances', 'perFill'), Number.NaN, us)).toBe('null');
  });
});

describe('typed-in text', () => {
  it.each<[TableName, string, string, unknown]>([
    ['allowances', 'perFill', '40', gal(40)],
    ['allowances', 'perFill', '1,500 gal', gal(1500)],
    ['allowances', 'perFill', '10 000 Gallons', gal(10_000)],
    ['allowances', 'perFill', '150 litres', 150_000_000],
    ['allowances', 'perFill', '', null],
    ['allowances', 'perFill', 'No limit', null],
    ['allowances', 'perFill', '1,50', 'FW-107'],
    ['allowances', 'perFill', '40 buckets', 'FW-107'],
    ['allowances', 'perFill', '-4', 'FW-107'],
    ['hoses', 'flow', '10 gpm', gal(10)],
    ['hoses', 'flow', '37.9 l / min', 37_900_000],
    ['hoses', 'flow', '20 gal', gal(20)],
    ['hoses', 'lift', '2 min', 120],
    ['hoses', 'longest', '0.5 h', 30],
    ['hoses', 'longest', '90 s', 'FW-107'],
    ['tanks', 'safeFill', '95%', 95],
    ['tanks', 'safeFill', '101', 'FW-107'],
    ['prices', 'price', '$4.259', 42_590],
    ['prices', 'price', '4.25 EUR', 'FW-107'],
    ['drivers', 'validUntil', '31 Jan 2026', '2026-01-31'],
    ['drivers', 'validUntil', 'February 28, 2026', '2026-02-28'],
    ['drivers', 'validUntil', '30 Feb 2026', 'FW-107'],
    ['drivers', 'validUntil', '01/02/2026', 'FW-107'],
    ['sites', 'pin', 'Y', true],
    ['sites', 'pin', 'perhaps', 'FW-107'],
    ['sites', 'identify', 'BOTH', 'both'],
    ['allowances', 'sites', '', null],
    ['allowances', 'sites', 'none', []],
    ['allowances', 'sites', '"none"', ['none']],
    ['allowances', 'sites', 'north; ;south', ['north', 'south']],
    ['allowances', 'sites', 'not an id', 'FW-107'],
    ['allowances', 'times', 'weekdays 6:00-18:00', [{ days: [0, 1, 2, 3, 4], from: 360, to: 1080 }]],
    ['allowances', 'times', '22:00-05:00', [{ days: [0, 1, 2, 3, 4, 5, 6], from: 1320, to: 300 }]],
    ['allowances', 'times', 'Friday - Monday', [{ days: [4, 5, 6, 0], from: 0, to: 1440 }]],
    ['allowances', 'times', 'Someday 06:00-18:00', 'FW-107'],
    ['allowances', 'times', 'Mon 06:00-25:00', 'FW-107'],
    ['allowances', 'times', 'Mon 24:00-02:00', 'FW-107'],
    ['terminals', 'idle', '"Open; quote""', 'FW-107'],
  ])('%s.%s takes %s', (table, name, text, value) => {
    expect(parsed(field(table, name), text)).toEqual(value);
  });

  it('refuses commas in numbers where they could be decimal marks', () => {
    expect(parsed(field('allowances', 'perFill'), '1,500', metric)).toBe('FW-107');
  });

  it('takes a name that one row alone has, and an id before a name', () => {
    const sites = new Map([
      ['north', newRow('sites', { id: 'north', name: 'Upper yard' })],
      ['south', newRow('sites', { id: 'south', name: 'Lower yard' })],
      ['twin-a', newRow('sites', { id: 'twin-a', name: 'Twin' })],
      ['twin-b', newRow('sites', { id: 'twin-b', name: 'Twin' })],
      ['odd', newRow('sites', { id: 'odd', name: 'north' })],
    ]);
    const fleet = { ...us, sites };
    expect(parsed(field('drivers', 'sites'), 'upper YARD; Lower yard', fleet)).toEqual(['north', 'south']);
    expect(parsed(field('drivers', 'sites'), 'north', fleet)).toEqual(['north']);
    expect(parsed(field('hoses', 'site'), 'Twin', fleet)).toBe('FW-112');
    expect(parsed(field('drivers', 'sites'), 'north; Twin', fleet)).toBe('FW-112');
    expect(parsed(field('hoses', 'site'), 'No such', fleet)).toBe('FW-107');
  });

  it('says what it expected', () => {
    const r = parseValue(field('hoses', 'number'), 'seven', us);
    expect(r.ok ? '' : r.error.expected).toBe('a whole number from 1 to 99');
    const list = parseValue(field('allowances', 'fillsPerDay'), 'x', us);
    expect(list.ok ? '' : list.error.expected).toBe('a whole number from 0 to 1000, or empty for no limit');
  });
});
