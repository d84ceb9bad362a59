export { type Change, changesInWords, nameOf, valueInWords } from './changes.ts';
export { isVinShaped, luhnDigit, luhnHolds, vinDigit, vinHolds } from './check-digits.ts';
export { type Copied, copyOf, freeId, freeName, freeNumber, removeWith } from './copies.ts';
export { applyEdits, type Edit, editSchema, editsBetween, invert } from './edits.ts';
export {
  type FieldKind,
  type FieldMeta,
  ID_PATTERN,
  type Strapping,
  strappingSchema,
  type TableName,
  type Window,
  windowSchema,
} from './fields.ts';
export {
  canonical,
  canonicalFleet,
  checkRow,
  emptyFleet,
  type Fleet,
  type FleetJson,
  fromJson,
  lengthUnitOf,
  referencesOf,
  rowsOf,
  type Settings,
  settingsSchema,
  toJson,
  unitOf,
} from './fleet.ts';
export { type FormatOptions, formatValue, shortestVolume, volumeWords } from './format-value.ts';
export { fleetJsonSchema } from './json-schema.ts';
export {
  LANGUAGE_IDS,
  LANGUAGE_NAMES,
  LAYOUT_FIELDS,
  type LanguageId,
  type Layout,
  type LayoutAlign,
  type LayoutCell,
  type LayoutField,
  type LayoutName,
  type LayoutRow,
  type Words,
} from './layouts.ts';
export { formatItem, formatList, parseList } from './list-text.ts';
export { formOf, parseValue } from './parse-value.ts';
export { changedKeys, Patched, sendable } from './patched.ts';
export { BODY_FIELDS, startsFor } from './plumbing.ts';
export { priceInForce, tierPrice } from './prices.ts';
export {
  type Allowance,
  type AnyRow,
  type CostCentre,
  type Credential,
  type Driver,
  type Expectation,
  type Field,
  fieldOf,
  fieldsOf,
  type Hose,
  type Island,
  newRow,
  type Price,
  type Product,
  type Pump,
  type Question,
  type RowOf,
  type Site,
  TABLE_NAMES,
  TABLES,
  type Tank,
  type Terminal,
  type Vehicle,
} from './tables.ts';
export { YARDS, type YardKind, yardTemplate } from './templates.ts';
export { type Stretch, stretchesOf, WEEK_MINUTES, within } from './week.ts';
export { formatDays, formatWindow, parseDays, parseWindow } from './week-text.ts';
