import { z } from 'zod';
import { parseDate } from '../units/index.ts';
import { layoutSchema } from './layouts.ts';

/** How a field is shown, typed in, compared and put into words; everything that treats fields alike reads this. */
export type FieldKind =
  | 'id'
  | 'text'
  | 'texts'
  | 'choice'
  | 'flag'
  | 'whole'
  | 'milli'
  | 'volume'
  | 'length'
  | 'flow'
  | 'seconds'
  | 'minutes'
  | 'percent'
  | 'money'
  | 'date'
  | 'dates'
  | 'zone'
  | 'ref'
  | 'refs'
  | 'windows'
  | 'choices'
  | 'layout'
  | 'chart';

export interface FieldMeta {
  readonly label: string;
  readonly kind: FieldKind;
  /** The table that a ref or refs field points into. */
  readonly ref?: TableName;
  /** Of a layout: the fields that a cell may show. */
  readonly choices?: Readonly<Record<string, string>>;
  /** What a new record starts with; `null` where the field may be empty. */
  readonly start: unknown;
  /** Why a new record starts so, shown beside the field; names its source, or says that there is none. */
  readonly reason?: string;
  readonly help?: string;
  /** What an empty (null) value means, in words, such as 'no limit'. */
  readonly empty?: string;
}

export type TableName =
  | 'costCentres'
  | 'products'
  | 'prices'
  | 'questions'
  | 'sites'
  | 'islands'
  | 'tanks'
  | 'pumps'
  | 'terminals'
  | 'hoses'
  | 'allowances'
  | 'drivers'
  | 'vehicles'
  | 'credentials'
  | 'expectations';

type Extra = Partial<Omit<FieldMeta, 'label' | 'kind'>>;

const described = <T extends z.ZodType>(schema: T, kind: FieldKind, label: string, start: unknown, extra: Extra): T =>
  schema.meta({ label, kind, start, ...extra } as never);

/** Ids are made for people to read: small letters, digits and hyphens, 1 to 60. */
export const ID_PATTERN = /^[a-z0-9][a-z0-9-]{0,59}$/;
export const idText = z.string().regex(ID_PATTERN);
const LONGEST = 200;
// Control characters would break receipts and displays; everything printable in any language is welcome.
const printable = z
  .string()
  .max(LONGEST)
  .regex(/^[^\p{Cc}]*$/u);

export const id = (label = 'Id') => described(idText, 'id', label, '', {});
export const text = (label: string, extra: Extra = {}) => described(printable, 'text', label, '', extra);
export const name = (label = 'Name') => described(printable.min(1), 'text', label, '', {});
export const texts = (label: string, extra: Extra = {}) =>
  described(z.array(printable.min(1)).max(100), 'texts', label, [], extra);
export const flag = (label: string, start: boolean, extra: Extra = {}) =>
  described(z.boolean(), 'flag', label, start, extra);
export const choice = <const K extends string>(
  label: string,
  choices: Record<K, string>,
  start: NoInfer<K>,
  extra: Extra = {},
) => described(z.enum(Object.keys(choices) as [K, ...K[]]), 'choice', label, start, { ...extra, choices });
export const whole = (label: string, least: number, most: number, start: number, extra: Extra = {}) =>
  described(z.int().min(least).max(most), 'whole', label, start, extra);
export const wholeOrNone = (label: string, least: number, most: number, extra: Extra = {}) =>
  described(z.int().min(least).max(most).nullable(), 'whole', label, null, extra);
/** A decimal kept as thousandths, such as pulses per gallon. */
export const milli = (label: string, least: number, most: number, start: number, extra: Extra = {}) =>
  described(z.int().min(least).max(most), 'milli', label, start, extra);
const MOST_UL = 1_000_000_000_000; // 1,000 m^3: more than any yard's tank, and far inside exact integers
export const volume = (label: string, start: number, extra: Extra = {}) =>
  described(z.int().min(0).max(MOST_UL), 'volume', label, start, extra);
export const volumeOrNone = (label: string, extra: Extra = {}) =>
  described(z.int().min(0).max(MOST_UL).nullable(), 'volume', label, null, extra);
/** Micrometres, so that an eighth of an inch is whole: 1 in is 25,400. Up to 100 m. */
const lengthUm = z.int().min(0).max(100_000_000);
export const length = (label: string, start: number, extra: Extra = {}) =>
  described(lengthUm, 'length', label, start, extra);
export const lengthOrNone = (label: string, extra: Extra = {}) =>
  described(lengthUm.min(1).nullable(), 'length', label, null, extra);
/** Microlitres a minute. */
export const flow = (label: string, start: number, extra: Extra = {}) =>
  described(z.int().min(1).max(5_000_000_000), 'flow', label, start, extra);
export const seconds = (label: string, start: number, extra: Extra = {}) =>
  described(z.int().min(1).max(86_400), 'seconds', label, start, extra);
export const minutes = (label: string, start: number, extra: Extra = {}) =>
  described(z.int().min(1).max(10_080), 'minutes', label, start, extra);
export const percent = (label: string, start: number, extra: Extra = {}) =>
  described(z.int().min(0).max(100), 'percent', label, start, extra);
export const money = (label: string, extra: Extra = {}) =>
  described(z.int().min(0).max(1_000_000_000), 'money', label, 0, extra);
/** One or more of a list, in an order that counts, each once. */
export const choices = <const K extends string>(
  label: string,
  of: Readonly<Record<K, string>>,
  start: readonly K[],
  extra: Extra = {},
) =>
  described(
    z
      .array(z.enum(Object.keys(of) as [K, ...K[]]))
      .min(1)
      .refine((list) => new Set(list).size === list.length, { error: 'each once' }),
    'choices',
    label,
    start,
    { ...extra, choices: of },
  );
export const layout = (label: string, of: Readonly<Record<string, string>>, extra: Extra = {}) =>
  described(layoutSchema(of).nullable(), 'layout', label, null, { empty: 'usual', ...extra, choices: of });
const dateText = z.string().refine((t) => parseDate(t) !== undefined, { error: 'a date as YYYY-MM-DD' });
export const date = (label: string, extra: Extra = {}) => described(dateText, 'date', label, '2026-01-01', extra);
export const dateOrNone = (label: string, extra: Extra = {}) =>
  described(dateText.nullable(), 'date', label, null, extra);
export const dates = (label: string, extra: Extra = {}) =>
  described(z.array(dateText).max(400), 'dates', label, [], extra);
export const zone = (label: string) => described(z.string().min(1).max(60), 'zone', label, 'UTC', {});
export const ref = (label: string, to: TableName, extra: Extra = {}) =>
  described(idText, 'ref', label, '', { ...extra, ref: to });
export const refOrNone = (label: string, to: TableName, extra: Extra = {}) =>
  described(idText.nullable(), 'ref', label, null, { ...extra, ref: to });
export const refs = (label: string, to: TableName, extra: Extra = {}) =>
  described(z.array(idText).max(1000), 'refs', label, [], { ...extra, ref: to });
export const refsOrAll = (label: string, to: TableName, extra: Extra = {}) =>
  described(z.array(idText).max(1000).nullable(), 'refs', label, null, { empty: 'all', ...extra, ref: to });

/**
 * A weekly time by the site's wall clock: on each day in `days` (0 = Monday) from minute `from` until minute `to`; where `to` is not
 * after `from`, it runs past midnight into the next day (and `to` = `from` is a whole day).
 */
export const windowSchema = z.strictObject({
  days: z.array(z.int().min(0).max(6)).max(7),
  from: z.int().min(0).max(1439),
  to: z.int().min(0).max(1440),
});
export type Window = z.infer<typeof windowSchema>;
export const windows = (label: string, extra: Extra = {}) =>
  described(z.array(windowSchema).max(50).nullable(), 'windows', label, null, { empty: 'always', ...extra });

/** A strapping table as its maker gives it: dips and volumes in the units stated, in 1/10,000 of them, so that it reads back to the digit. */
export const strappingSchema = z.strictObject({
  dip: z.enum(['mm', 'cm', 'in']),
  volume: z.enum(['l', 'gal']),
  rows: z
    .array(z.tuple([z.int().min(0).max(1e12), z.int().min(0).max(1e13)]))
    .min(2)
    .max(2_000),
});
export type Strapping = Readonly<z.infer<typeof strappingSchema>>;
export const strapping = (label: string, extra: Extra = {}) =>
  described(strappingSchema.nullable(), 'chart', label, null, extra);

/** For a field that rows kept from before it do not have: they get its starting value when they are read. */
export const since = <T extends z.ZodType>(schema: T) => {
  const meta = schema.meta() as unknown as FieldMeta;
  return schema.default(() => meta.start as never).meta(meta as never);
};

export const metaOf = (schema: z.ZodType): FieldMeta => schema.meta() as unknown as FieldMeta;
