import {
  divideRounded,
  formatDecimal,
  formatLimit,
  type Microlitres,
  NANOLITRES_PER_GALLON,
  type VolumeUnit,
} from '../units/index.ts';
import { type FieldMeta, strappingSchema, type Window } from './fields.ts';
import { lengthUnitOf, type Settings, unitOf } from './fleet.ts';
import { formatLayout, type Layout } from './layouts.ts';
import { formatItem, formatList } from './list-text.ts';
import { formatStrapping, strappingWords } from './strapping-text.ts';
import { formatWindow } from './week-text.ts';

/**
 * Any field's value as text in the fleet's units: '40 gal', '37.9 l/min', '95 %', '4.50 USD', 'yes', '2026-01-31',
 * 'Mon-Fri 06:00-18:00; Sat 08:00-12:00', 'diesel; petrol'. `parseValue` reads it back to the same value.
 */
export interface FormatOptions {
  /** False leaves the unit out, as in a table whose heading names it; `parseValue` reads both. */
  readonly unit?: boolean;
  /** A strapping table as how many rows it has; such text does not read back. */
  readonly brief?: boolean;
}

/** What a value's text is read against: the units, and for references the rows that it may name. */
export interface HasSettings {
  readonly settings: Settings;
}

/** Seven decimals of a gallon are finer than half a microlitre, so that the shortest text that reads back always exists. */
const MOST_PLACES = 7;

/** Microlitres as the shortest decimal text that reads back to the same number. */
export function shortestVolume(volume: number, unit: VolumeUnit): string {
  const per = unit === 'gal' ? NANOLITRES_PER_GALLON : 1_000_000_000n;
  const nanolitres = BigInt(volume) * 1000n;
  for (let places = 0; ; places++) {
    const tens = 10n ** BigInt(places);
    const scaled = divideRounded(nanolitres * tens, per);
    if (places === MOST_PLACES || divideRounded(scaled * per, 1000n * tens) === BigInt(volume))
      return formatDecimal(Number(scaled), places);
  }
}

/** Micrometres as the shortest decimal text that reads back to the same number. */
function shortestLength(um: number, unit: 'in' | 'mm'): string {
  const per = unit === 'in' ? 25_400 : 1_000;
  for (let places = 0; ; places++) {
    const scaled = Math.round((um / per) * 10 ** places);
    if (places === 5 || Math.round((scaled / 10 ** places) * per) === um) return formatDecimal(scaled, places);
  }
}

/** Microlitres in a sentence, rounded to a thousandth of the unit: '40 gal'. */
export const volumeWords = (ul: Microlitres, unit: VolumeUnit): string => `${formatLimit(ul, unit)} ${unit}`;

/** Words that an empty value is shown by, and that an item of that name must be told from. */
export const wordsOf = (field: FieldMeta): string[] => {
  const own = field.empty?.toLowerCase();
  const words = field.kind === 'windows' ? ['always', 'never'] : ['none', 'all'];
  return own === undefined || words.includes(own) ? words : [...words, own];
};

const isWhole = (value: unknown): value is number => Number.isSafeInteger(value);
const texts = (value: unknown): string[] => (Array.isArray(value) ? value.map(String) : [String(value)]);

/** The value as text; a value that the field cannot have is shown as JSON. Never throws. */
export function formatValue(field: FieldMeta, value: unknown, fleet: HasSettings, options: FormatOptions = {}): string {
  if (value === null || value === undefined) return field.empty ?? '';
  const volumeUnit = unitOf(fleet.settings);
  const withUnit = (number: string, unit: string) => (options.unit === false ? number : `${number} ${unit}`);
  const odd = () => JSON.stringify(value) ?? String(value);
  switch (field.kind) {
    case 'id':
    case 'text':
    case 'zone':
      return String(value);
    case 'ref':
      return formatItem(String(value), wordsOf(field));
    case 'texts':
    case 'refs':
    case 'dates':
      return Array.isArray(value) && value.length === 0
        ? emptyListText(field)
        : formatList(texts(value), wordsOf(field));
    case 'choices':
      return Array.isArray(value) ? value.map((v) => field.choices?.[String(v)] ?? String(v)).join('; ') : odd();
    case 'layout':
      if (!Array.isArray(value)) return odd();
      return value.length === 0 ? 'none' : formatLayout(value as Layout);
    case 'windows':
      if (!Array.isArray(value)) return odd();
      return value.length === 0 ? 'never' : (value as Window[]).map(formatWindow).join('; ');
    case 'choice':
      return field.choices?.[String(value)] ?? String(value);
    case 'flag':
      return value === true ? 'yes' : value === false ? 'no' : odd();
    case 'date':
      return String(value);
    case 'chart': {
      const strapping = strappingSchema.safeParse(value);
      if (!strapping.success) return odd();
      return options.brief === true ? strappingWords(strapping.data) : formatStrapping(strapping.data);
    }
    default:
      break;
  }
  if (!isWhole(value)) return odd();
  switch (field.kind) {
    case 'whole':
      return String(value);
    case 'milli':
      return formatDecimal(value, 3);
    case 'volume':
      return withUnit(shortestVolume(value, volumeUnit), volumeUnit);
    case 'length': {
      const unit = lengthUnitOf(fleet.settings);
      return withUnit(shortestLength(value, unit), unit);
    }
    case 'flow':
      return withUnit(shortestVolume(value, volumeUnit), `${volumeUnit}/min`);
    case 'seconds':
      return withUnit(String(value), 's');
    case 'minutes':
      return withUnit(String(value), 'min');
    case 'percent':
      return withUnit(String(value), '%');
    case 'money':
      return withUnit(formatDecimal(value, 4, 2), fleet.settings.currency);
  }
}

/** An empty list is 'none' where an empty cell would mean everything, else empty text. */
const emptyListText = (field: FieldMeta): string => (field.empty === undefined ? '' : 'none');
