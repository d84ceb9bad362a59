import { z } from 'zod';

/**
 * What a site writes into its journal. The journal adds the place (site, epoch, sequence number) and the hash chain; an entry carries
 * what happened. Instants are whole milliseconds UTC, volumes whole microlitres, money whole 1/10,000 of the currency's unit,
 * pulses and counts whole numbers.
 */
const at = z.int().min(0);
const id = z.string().min(1).max(240);
const ul = z.int().min(0);
const count = z.int().min(0);
const words = z.string().max(200);

/** Why a fill came to its end. */
export const END_REASONS = {
  limit: 'the limit was reached',
  hung: 'the nozzle was hung up',
  noPulses: 'no more pulses came',
  notLifted: 'the nozzle was not lifted in time',
  notBegun: 'no fuel was drawn in time',
  longest: 'the longest time for a fill was over',
  cancelled: 'the person cancelled',
  eStop: 'the emergency stop was pressed',
  mains: 'the mains failed',
  tankLow: 'the tank is low',
  water: 'the tank holds too much water',
  probe: 'the tank cannot be read',
  device: 'the dispenser does not answer or reports a fault',
  doubt: 'the count was impossible',
  service: 'the hose was taken out of service',
  cardStopped: 'the office stopped the card',
  journal: 'the journal could not be written',
  powerLoss: 'the box lost its power',
} as const;
export type EndReason = keyof typeof END_REASONS;
const endReason = z.enum(Object.keys(END_REASONS) as [EndReason, ...EndReason[]]);

/** What a person must look at. */
export const ALARMS = {
  strayPulses: 'pulses without an authorisation',
  pulsesAfterClose: 'pulses after the hose was closed: the valve may leak',
  reversal: 'the count ran backwards',
  jump: 'the count jumped further than fuel can flow',
  pulsesWhileOff: 'the count moved while the box was off',
  pulser: 'the pulser gives signals that cannot be',
  service: 'the hose was taken out of service by hand',
  counterReset: 'the counter began anew while the box was off',
  noDisarm: 'the dispenser did not confirm that it is closed',
  noArm: 'the dispenser did not confirm that it is open',
  device: 'the dispenser does not answer or reports a fault',
  eStop: 'the emergency stop was pressed',
  mains: 'the mains failed',
  tankLow: 'the tank is low',
  water: 'the tank holds too much water',
  probe: 'the tank cannot be read',
  journal: 'the journal could not be written',
} as const;
export type AlarmCode = keyof typeof ALARMS;
const alarmCode = z.enum(Object.keys(ALARMS) as [AlarmCode, ...AlarmCode[]]);

/** One rule of a decision as it is kept on the record. */
const stepFact = z.strictObject({
  rule: id,
  says: z.enum(['pass', 'refuse', 'limit', 'ask', 'notLookedAt']),
  on: z.strictObject({ table: id, id }).optional(),
  /** What the rule leaves; below zero when an overrun has passed what it allows. */
  limit: z.int().optional(),
  facts: z.record(z.string(), z.union([z.string().max(200), z.number()])).optional(),
});
export type StepFact = Readonly<z.infer<typeof stepFact>>;

const charge = z.strictObject({ holder: id, allowance: id });
const who = { credentials: z.array(id).max(2), driver: id.optional(), vehicle: id.optional() };

/** An authorisation: durable before the hose is armed. Its place in the journal is the fill's id. */
const authorised = z.strictObject({
  kind: z.literal('authorised'),
  at,
  terminal: id,
  hose: id,
  ...who,
  product: id,
  tanks: z.array(id),
  limitUl: ul,
  /** The rule whose limit is the least. */
  by: id,
  steps: z.array(stepFact),
  notes: z.array(stepFact),
  charged: z.array(charge),
  answers: z.record(id, words),
  /** Per gallon or litre; null when no price is in force. */
  price: z.int().min(0).nullable(),
  unit: z.enum(['gal', 'l']),
  /** Thousandths of a pulse per gallon or litre. */
  pulsesPerMeasure: z.int().min(1),
  limitPulses: count,
  /** At which the valve is told to close, so that its lag ends at the limit. */
  stopAtPulses: count,
  /** What was known of the valve: pulses told ahead, median and spread of what ran on, and of how many closings. */
  lag: z.strictObject({ ahead: count, typical: z.number().min(0), spread: count, of: count }).optional(),
  cutOff: z.boolean(),
  revision: z.int().min(0),
});

/** Where a fill stands: at arming, at lifting, and while fuel flows at the first count that is 0.5 l or 1 s past the last checkpoint. */
const checkpoint = z.strictObject({
  kind: z.literal('checkpoint'),
  at,
  fill: id,
  hose: id,
  step: z.enum(['armed', 'lifted', 'flowing', 'stopping']),
  /** Since the fill began. */
  pulses: count,
  ul,
  /** The hose's absolute counter. */
  count,
});

/** Most points that a flow curve keeps. */
export const CURVE_POINTS = 60;

const ended = z.strictObject({
  kind: z.literal('ended'),
  at,
  fill: id,
  hose: id,
  reason: endReason,
  pulses: count,
  ul,
  amount: z.int().min(0).nullable(),
  /** Pulses over the limit; 0 when at or below it. */
  overPulses: count,
  overUl: ul,
  armedAt: at.nullable(),
  firstPulseAt: at.nullable(),
  /** Timers that fired during the fill. */
  timers: z.array(id),
  /** [milliseconds since arming, pulses] at most 60 points, ascending. */
  curve: z.array(z.tuple([z.int().min(0), count])).max(CURVE_POINTS),
  /** Pulses counted after the valve was told to close at the limit; null when the fill ended otherwise. */
  lagPulses: count.nullable(),
  count: count.nullable(),
});

const usedSoFar = z.strictObject({ day: ul, week: ul, month: ul, fillsToday: count });

/**
 * What a refusing decision was asked and what the site knew then, so that it can be decided again. The PIN's state, never the PIN. Absent
 * where the site refused before anything was decided.
 */
const askedFacts = z.strictObject({
  pin: z.enum(['notAsked', 'right', 'wrong', 'locked', 'notSet']),
  answers: z.record(id, words),
  cutOff: z.boolean(),
  /** Counters that were looked at, by 'HOLDER ALLOWANCE' such as 'driver:ana daily'; zeros where the site knew of nothing. */
  used: z.record(z.string(), usedSoFar),
  /** Last readings that were looked at, by 'VEHICLE KIND' such as 'lorry-1 odometer'; null where there was none. */
  readings: z.record(z.string(), z.number().nullable()),
});
export type AskedFacts = Readonly<z.infer<typeof askedFacts>>;

const refused = z.strictObject({
  kind: z.literal('refused'),
  at,
  terminal: id,
  hose: id.optional(),
  ...who,
  /** A rule of the decision, or one of the site's own reasons. */
  reason: id,
  steps: z.array(stepFact),
  asked: askedFacts.optional(),
  revision: z.int().min(0),
});

const alarm = z.strictObject({
  kind: z.literal('alarm'),
  at,
  alarm: alarmCode,
  hose: id.optional(),
  tank: id.optional(),
  fill: id.optional(),
  pulses: z.int().optional(),
  ul: z.int().optional(),
  count: count.optional(),
  words: words.optional(),
});

const resumed = z.strictObject({
  kind: z.literal('resumed'),
  at,
  hose: id.optional(),
  tank: id.optional(),
  block: id,
  /** A person, or what made it whole again. */
  by: words,
});

const started = z.strictObject({
  kind: z.literal('started'),
  at,
  revision: z.int().min(0),
  program: words,
});
const revision = z.strictObject({
  kind: z.literal('revision'),
  at,
  from: z.int().min(0),
  to: z.int().min(0),
  why: words,
});
const reading = z.strictObject({
  kind: z.literal('reading'),
  at,
  tank: id,
  when: z.enum(['fillStart', 'fillEnd', 'quiet', 'alarm']),
  fill: id.optional(),
  /** Measurements, not ledger quantities: millimetres and °C with decimals. */
  levelMm: z.number().min(0).optional(),
  waterMm: z.number().min(0).optional(),
  tempC: z.number().min(-60).max(90).optional(),
  ul: ul.optional(),
});
const delivery = z.strictObject({
  kind: z.literal('delivery'),
  at,
  tank: id,
  ul,
  fromAt: at.optional(),
  beforeUl: ul.optional(),
  afterUl: ul.optional(),
  document: words.optional(),
});
/** A PIN: the attempt is written before it is compared, so that a power cut gives nobody another try. */
const pin = z.strictObject({
  kind: z.literal('pin'),
  at,
  terminal: id,
  driver: id,
  step: z.enum(['attempt', 'right', 'wrong', 'locked', 'notSet']),
});
const clock = z.strictObject({
  kind: z.literal('clock'),
  at,
  was: at,
  is: at,
  by: words,
});
/** A credential that the office stopped by an urgent message, from when this site holds to it. */
const cardStopped = z.strictObject({ kind: z.literal('cardStopped'), at, credential: id, by: words });

export const entrySchema = z.discriminatedUnion('kind', [
  authorised,
  checkpoint,
  ended,
  refused,
  alarm,
  resumed,
  started,
  revision,
  reading,
  delivery,
  pin,
  clock,
  cardStopped,
]);
export type Entry = Readonly<z.infer<typeof entrySchema>>;
export type EntryOf<K extends Entry['kind']> = Extract<Entry, { kind: K }>;

/** An entry's durable place; the site is known from where it is kept. */
export interface EntryRef {
  /** Names the journal: another whenever a box begins one anew. */
  readonly epoch: string;
  /** From 1, without gaps. */
  readonly seq: number;
}

/** A fill is named by where its authorisation stands in the site's journal. */
export const fillIdOf = (site: string, ref: EntryRef): string => `${site}.${ref.epoch}.${ref.seq}`;
