import { err, ok, type Problem, problem, type Result } from '../errors/index.ts';
import {
  dayOfDate,
  divideRounded,
  formatDate,
  NANOLITRES_PER_GALLON,
  parseDate,
  parseDecimal,
  type VolumeUnit,
} from '../units/index.ts';
import { ID_PATTERN, type TableName } from './fields.ts';
import { type Fleet, lengthUnitOf, rowsOf, type Settings, unitOf } from './fleet.ts';
import { parseLayout } from './layouts.ts';
import { parseList } from './list-text.ts';
import { parseStrapping } from './strapping-text.ts';
import type { AnyRow, Field } from './tables.ts';
import { parseWindow } from './week-text.ts';

/**
 * Typed-in text to a field's value, the inverse of `formatValue`. Units may be left out (the fleet's hold) or be the other system's
 * ('150 l' in a fleet that counts gallons). Thousands may be parted by blanks, in US fleets by commas; the decimal mark is a point, and
 * a comma that could be either is refused. Dates are 2026-01-31, 31 Jan 2026 or Jan 31, 2026: forms of numbers alone are refused, because
 * day and month cannot be told apart. Lists are separated by semicolons. References are ids, or a name that one row alone has.
 */
export function parseValue(field: Field, text: string, fleet: Fleet): Result<unknown, Problem> {
  const value = read(field, text, fleet);
  if (value !== undefined && field.schema.safeParse(value).success) return ok(value);
  const shared = (parseList(text) ?? []).find((item) => isShared(field, item, fleet));
  if (shared !== undefined) return err(problem('FW-112', { at: { field: field.label }, found: shared.slice(0, 80) }));
  return err(
    problem('FW-107', { at: { field: field.label }, found: text.slice(0, 80), expected: formOf(field, fleet) }),
  );
}

/** What text a field takes, in words, such as 'a volume in gal, such as 40 or 40 gal'. */
export function formOf(field: Field, fleet: { readonly settings: Settings }): string {
  const unit = unitOf(fleet.settings);
  const form = {
    id: 'small letters, digits and hyphens, at most 60',
    text: 'text of at most 200 characters on one line',
    texts: 'texts separated by semicolons',
    choice: `one of: ${Object.values(field.choices ?? {}).join(', ')}`,
    flag: 'yes or no',
    whole: 'a whole number',
    milli: 'a number with at most three decimals',
    volume: `a volume in ${unit}, such as 40 or 40 ${unit}`,
    flow: `a flow in ${unit}/min, such as 20 or 20 ${unit}/min`,
    seconds: 'a time in seconds, such as 90, 90 s or 2 min',
    minutes: 'a time in minutes, such as 30, 30 min or 2 h',
    percent: 'a whole number from 0 to 100, with or without %',
    money: `an amount with at most four decimals, such as 4.25 or 4.25 ${fleet.settings.currency}`,
    date: 'a date such as 2026-01-31 or 31 Jan 2026',
    dates: 'dates such as 2026-01-31, separated by semicolons',
    zone: 'a time zone such as America/Chicago',
    ref: 'the id or the name of one record',
    refs: 'ids or names of records, separated by semicolons',
    choices: `one or more of: ${Object.values(field.choices ?? {}).join('; ')}, separated by semicolons`,
    layout: 'a layout such as centre en "Welcome"; left name of quantity | right quantity',
    length: `a length in ${lengthUnitOf(fleet.settings)}, such as 96 or 96 ${lengthUnitOf(fleet.settings)}`,
    chart: 'units, then a dip and a volume a row, such as: in gal: 0 0; 1 12.5; 2 35.1 (2 to 2,000 rows)',
    windows: 'weekly times such as Mon-Fri 06:00-18:00; Sat 08:00-12:00',
  }[field.kind];
  const range = rangeOf(field);
  return `${form}${range}${field.empty === undefined ? '' : `, or empty for ${field.empty}`}`;
}

const rangeOf = (field: Field): string => {
  if (field.kind !== 'whole') return '';
  const schema = field.schema as unknown as { minValue?: number; maxValue?: number; unwrap?: () => unknown };
  const inner = (schema.minValue === undefined ? schema.unwrap?.() : schema) as typeof schema | undefined;
  return inner?.minValue === undefined ? '' : ` from ${inner.minValue} to ${inner.maxValue}`;
};

const isNullable = (field: Field) => field.schema.safeParse(null).success;

function read(field: Field, text: string, fleet: Fleet): unknown {
  const bare = text.trim();
  const word = bare.toLowerCase();
  const unit = unitOf(fleet.settings);
  if ((bare === '' || word === field.empty?.toLowerCase()) && isNullable(field)) return null;
  switch (field.kind) {
    case 'text':
      return text;
    case 'id':
    case 'zone':
      return bare;
    case 'texts':
      return listOf(text, word, (item) => item);
    case 'refs':
      return listOf(text, word, (item) => reference(field.ref, item, fleet));
    case 'dates':
      return listOf(text, word, dateText);
    case 'ref': {
      const items = parseList(text);
      return items?.length === 1 ? reference(field.ref, items[0] ?? '', fleet) : undefined;
    }
    case 'windows':
      return word === 'never'
        ? []
        : all(
            text
              .split(';')
              .filter((part) => part.trim() !== '')
              .map(parseWindow),
          );
    case 'choice':
      return choiceOf(field, word);
    case 'choices':
      return listOf(text, '', (item) => choiceOf(field, item.toLowerCase()));
    case 'layout':
      return word === 'none' ? [] : parseLayout(text);
    case 'flag':
      return ['yes', 'y', 'true', '1'].includes(word)
        ? true
        : ['no', 'n', 'false', '0'].includes(word)
          ? false
          : undefined;
    case 'date':
      return dateText(bare);
    case 'chart':
      return parseStrapping(text, (digits) => plainNumber(digits, fleet.settings));
    default:
      return readNumber(field.kind, bare, unit, fleet.settings);
  }
}

type NumberKind = Exclude<
  Field['kind'],
  | 'text'
  | 'id'
  | 'zone'
  | 'texts'
  | 'refs'
  | 'dates'
  | 'ref'
  | 'windows'
  | 'choice'
  | 'choices'
  | 'layout'
  | 'flag'
  | 'date'
  | 'chart'
>;

function readNumber(kind: NumberKind, text: string, unit: VolumeUnit, settings: Settings): number | undefined {
  const number = (t: string, places: number) => {
    const plain = plainNumber(t, settings);
    return plain === undefined ? undefined : parseDecimal(plain, places);
  };
  switch (kind) {
    case 'whole':
      return number(text, 0);
    case 'milli':
      return number(text, 3);
    case 'percent':
      return number(text.replace(/\s*(%|percent)$/i, ''), 0);
    case 'money':
      return number(withoutCurrency(text, settings.currency), 4);
    case 'seconds':
    case 'minutes':
      return duration(text, kind, number);
    case 'length':
      return length(text, settings, number);
    case 'volume':
    case 'flow': {
      const [, digits = '', named = ''] = /^(.*?)\s*([a-z][a-z/ ]*)?\.?$/i.exec(text) ?? [];
      const stated = UNITS[named.toLowerCase().replace(kind === 'flow' ? /\s*(\/|per)\s*min(ute)?$/ : /$^/, '')];
      const by = named === '' ? unit : (stated ?? (kind === 'flow' ? FLOW_UNITS[named.toLowerCase()] : undefined));
      const scaled = number(digits, VOLUME_PLACES);
      return by === undefined || scaled === undefined ? undefined : microlitres(scaled, by);
    }
  }
}

const choiceOf = (field: Field, word: string): string | undefined =>
  Object.entries(field.choices ?? {}).find(
    ([key, label]) => key.toLowerCase() === word || label.toLowerCase() === word,
  )?.[0];

const UNITS: Readonly<Record<string, VolumeUnit>> = {
  gal: 'gal',
  gallon: 'gal',
  gallons: 'gal',
  l: 'l',
  litre: 'l',
  litres: 'l',
  liter: 'l',
  liters: 'l',
};
const FLOW_UNITS: Readonly<Record<string, VolumeUnit>> = { gpm: 'gal', lpm: 'l' };
const VOLUME_PLACES = 7;

const microlitres = (scaled: number, unit: VolumeUnit): number =>
  Number(
    divideRounded(
      BigInt(scaled) * (unit === 'gal' ? NANOLITRES_PER_GALLON : 1_000_000_000n),
      10n ** BigInt(VOLUME_PLACES + 3),
    ),
  );

/** Digits with a decimal point, thousands parted by blanks or, in US fleets, by commas, as digits alone. */
export function plainNumber(text: string, settings: Settings): string | undefined {
  const t = text.trim();
  if (/^[+-]?\d+(\.\d*)?$/.test(t)) return t;
  if (/^[+-]?\d{1,3}([\u0020\u00a0\u2009\u202f]\d{3})+(\.\d+)?$/.test(t))
    return t.replace(/[\u0020\u00a0\u2009\u202f]/g, '');
  if (settings.units === 'us' && /^[+-]?\d{1,3}(,\d{3})+(\.\d+)?$/.test(t)) return t.replaceAll(',', '');
  return /^[+-]?\.\d+$/.test(t) ? t.replace('.', '0.') : undefined;
}

const SIGNS: Readonly<Record<string, string>> = { USD: '$', CAD: '$', AUD: '$', NZD: '$', EUR: '€', GBP: '£' };

function withoutCurrency(text: string, currency: string): string {
  const code = new RegExp(`^${currency}\\s*|\\s*${currency}$`, 'i');
  const bare = text.replace(code, '');
  const sign = SIGNS[currency];
  return sign !== undefined && bare.startsWith(sign) ? bare.slice(1) : bare;
}

function duration(
  text: string,
  kind: 'seconds' | 'minutes',
  number: (t: string, places: number) => number | undefined,
): number | undefined {
  const [, digits = '', named = ''] = /^(.*?)\s*(s|sec|seconds?|min|minutes?|h|hours?)?$/i.exec(text) ?? [];
  const value = number(digits, 3);
  if (value === undefined) return undefined;
  const first = named.charAt(0).toLowerCase();
  const seconds = first === 'h' ? 3600 : first === 'm' ? 60 : first === 's' ? 1 : kind === 'seconds' ? 1 : 60;
  const result = (value * seconds) / (1000 * (kind === 'seconds' ? 1 : 60));
  return Number.isInteger(result) ? result : undefined;
}

const LENGTHS: Readonly<Record<string, number>> = { mm: 1_000, cm: 10_000, m: 1_000_000, in: 25_400, ft: 304_800 };
const LENGTH_PLACES = 5;

/** Micrometres. An eighth of an inch is 3,175 of them, so that what is read from a stick is exact. */
function length(
  text: string,
  settings: Settings,
  number: (t: string, places: number) => number | undefined,
): number | undefined {
  const [, digits = '', named = ''] = /^(.*?)\s*(mm|cm|m|in|ft)?$/i.exec(text) ?? [];
  const value = number(digits, LENGTH_PLACES);
  const per = LENGTHS[named === '' ? lengthUnitOf(settings) : named.toLowerCase()];
  return value === undefined || per === undefined ? undefined : Math.round((value * per) / 10 ** LENGTH_PLACES);
}

const MONTHS = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec'];

/** A date as YYYY-MM-DD from that form, '31 Jan 2026' or 'Jan 31, 2026'; undefined when there is no such date. */
function dateText(text: string): string | undefined {
  if (parseDate(text) !== undefined) return text;
  const dayFirst = /^(\d{1,2})\.?\s+([a-z]{3,9})\.?,?\s+(\d{4})$/i.exec(text);
  const monthFirst = /^([a-z]{3,9})\.?\s+(\d{1,2}),?\s+(\d{4})$/i.exec(text);
  const [day, name, year] = dayFirst
    ? [dayFirst[1], dayFirst[2], dayFirst[3]]
    : [monthFirst?.[2], monthFirst?.[1], monthFirst?.[3]];
  const month = MONTHS.indexOf((name ?? '').slice(0, 3).toLowerCase()) + 1;
  if (month === 0) return undefined;
  const made = formatDate(dayOfDate(Number(year), month, Number(day)));
  return Number(made.slice(8)) === Number(day) && Number(made.slice(5, 7)) === month ? made : undefined;
}

function listOf(text: string, word: string, one: (item: string) => string | undefined): string[] | undefined {
  return word === 'none'
    ? []
    : all((parseList(text) ?? [undefined]).map((item) => (item === undefined ? item : one(item))));
}

const all = <T>(values: readonly (T | undefined)[]): T[] | undefined =>
  values.some((v) => v === undefined) ? undefined : (values as T[]);

const names = new WeakMap<object, ReadonlyMap<string, string | undefined>>();

/** Ids by name in small letters; a name that two rows share leads to none. */
function idsByName(rows: ReadonlyMap<string, AnyRow>): ReadonlyMap<string, string | undefined> {
  let known = names.get(rows);
  if (!known) {
    const made = new Map<string, string | undefined>();
    for (const row of rows.values()) {
      const name = typeof row.name === 'string' ? row.name.trim().toLowerCase() : '';
      if (name !== '') made.set(name, made.has(name) ? undefined : row.id);
    }
    names.set(rows, made);
    known = made;
  }
  return known;
}

/** An id that stands wins over a name; what looks like an id and is neither is kept, so that work can be done in any order. */
function reference(table: TableName | undefined, text: string, fleet: Fleet): string | undefined {
  if (!table) return undefined;
  const rows = rowsOf(fleet, table);
  if (rows.has(text)) return text;
  return idsByName(rows).get(text.trim().toLowerCase()) ?? (ID_PATTERN.test(text) ? text : undefined);
}

/** Whether several records have this name, so that it tells none of them. */
function isShared(field: Field, text: string, fleet: Fleet): boolean {
  if (!field.ref || (field.kind !== 'ref' && field.kind !== 'refs')) return false;
  const name = text.trim().toLowerCase();
  const ids = idsByName(rowsOf(fleet, field.ref));
  return ids.has(name) && ids.get(name) === undefined && !rowsOf(fleet, field.ref).has(text);
}
