import { z } from 'zod';
import * as f from './fields.ts';
import { LANGUAGE_NAMES, LAYOUT_FIELDS } from './layouts.ts';

/** What stands in the yard: sites with their islands, tanks, pumps, hoses and terminals, and the products that flow. */

const HABIT = 'Common practice, no source.';

const gallons = (n: number) => Math.round(n * 3_785_411.784);

export const product = z.strictObject({
  id: f.id(),
  name: f.name(),
  kind: f.choice(
    'Kind',
    { petrol: 'petrol', diesel: 'diesel', dyed: 'dyed diesel', def: 'diesel exhaust fluid', other: 'other' },
    'diesel',
  ),
  short: f.text('Short name', { help: 'For displays and receipts, 12 characters at most.' }),
});

export const site = z.strictObject({
  id: f.id(),
  name: f.name(),
  address: f.text('Address'),
  zone: f.zone('Time zone'),
  closed: f.dates('Closed on', { help: 'Whole days, by the site’s calendar, on which nobody draws.' }),
  identify: f.choice(
    'Identify',
    { driver: 'the driver', vehicle: 'the vehicle', either: 'either', both: 'both' },
    'both',
    { help: 'Who must be known before fuel flows.' },
  ),
  pin: f.flag('PIN', true, { help: 'Drivers must key their PIN.' }),
  pinTries: f.whole('Wrong PINs', 1, 10, 3, { reason: `Locked after three wrong PINs: ${HABIT}` }),
  pinLock: f.minutes('Locked for', 30, { reason: `Half an hour: ${HABIT}` }),
  questions: f.refs('Questions', 'questions', { help: 'Asked of everyone here.' }),
  active: f.flag('In service', true),
  jurisdiction: f.text('Jurisdiction', { help: 'Whose fuel tax return its fuel belongs to; empty: none named.' }),
});

export const island = z.strictObject({
  id: f.id(),
  site: f.ref('Site', 'sites'),
  name: f.name(),
});

export const tank = z.strictObject({
  id: f.id(),
  site: f.ref('Site', 'sites'),
  name: f.name(),
  product: f.ref('Product', 'products'),
  capacity: f.volume('Capacity', gallons(10_000)),
  safeFill: f.percent('Safe fill', 95, {
    reason:
      'Shut off at 95 % or less of capacity: 40 CFR 280.20(c) for tanks under that part; local codes may ask for less.',
  }),
  low: f.volume('Low level', gallons(500), { reason: `Hoses stop below it, so that no pump runs dry: ${HABIT}` }),
  body: f.choice('Body', { lying: 'lying cylinder', standing: 'standing cylinder', box: 'box' }, 'lying', {
    help: 'Its inside measures turn a level into a volume. The maker’s strapping table is better than any shape.',
  }),
  diameter: f.lengthOrNone('Diameter', { empty: 'not known', help: 'Inside, of a cylinder.' }),
  length: f.lengthOrNone('Length', {
    empty: 'not known',
    help: 'Inside, of a lying cylinder without its ends, or of a box.',
  }),
  width: f.lengthOrNone('Width', { empty: 'not known', help: 'Inside, of a box.' }),
  height: f.lengthOrNone('Height', {
    empty: 'not known',
    help: 'Inside, of a standing cylinder without its ends, or of a box.',
  }),
  ends: f.choice(
    'Ends',
    { flat: 'flat', dished: 'dished', elliptical: 'elliptical', hemispherical: 'hemispherical' },
    'flat',
    {
      help: 'Both alike, bulging outwards.',
    },
  ),
  endDepth: f.lengthOrNone('End depth', {
    empty: 'a quarter of the diameter',
    help: 'Of elliptical ends; the common form is 2:1.',
  }),
  dishRadius: f.lengthOrNone('Dish radius', {
    empty: 'the diameter',
    help: 'Of dished ends. The diameter: DIN 28011, from memory.',
  }),
  knuckleRadius: f.lengthOrNone('Knuckle radius', {
    empty: 'a tenth of the diameter',
    help: 'Of dished ends. A tenth of the diameter: DIN 28011, from memory.',
  }),
  fall: f.length('Fall', 0, { help: 'By how much the far end of a lying tank or box stands lower than the near end.' }),
  gaugeAt: f.length('Gauge from near end', 0, {
    help: 'Along the tank, from its higher end to the gauge or dip tube; matters with a fall.',
  }),
  chart: f.strapping('Strapping table', {
    empty: 'none',
    help: 'Dip and volume, a row each, with their units first: “in gal: 0 0; 1 12.5; 2 35.1”, or rows as pasted from a sheet.',
  }),
});

export const pump = z.strictObject({
  id: f.id(),
  site: f.ref('Site', 'sites'),
  name: f.name(),
  kind: f.choice('Kind', { submersible: 'submersible', suction: 'suction' }, 'submersible'),
  tanks: f.refs('Tanks', 'tanks', { help: 'More than one: the tanks are manifolded on one line.' }),
  flow: f.flow('Rated flow', gallons(20)),
});

export const terminal = z.strictObject({
  id: f.id(),
  site: f.ref('Site', 'sites'),
  island: f.ref('Island', 'islands'),
  name: f.name(),
  columns: f.whole('Display columns', 8, 80, 20),
  rows: f.whole('Display rows', 1, 30, 4),
  dots: f.choice(
    'Display made of',
    {
      none: 'characters',
      small: 'dots, 6 by 8 a character',
      even: 'dots, 8 by 16 a character',
      large: 'dots, 12 by 24 a character',
    },
    'none',
    { help: 'Of dots: the columns and rows follow from how many dots there are.' },
  ),
  dotsAcross: f.wholeOrNone('Dots across', 48, 2_000, { empty: 'by columns' }),
  dotsDown: f.wholeOrNone('Dots down', 8, 1_000, { empty: 'by rows' }),
  paper: f.wholeOrNone('Receipt columns', 16, 80, { empty: 'no printer' }),
  idle: f.texts('Idle text', { help: 'Lines shown while nobody is there.' }),
  receiptHead: f.texts('Receipt head'),
  receiptFoot: f.texts('Receipt foot'),
  languages: f.choices('Languages', LANGUAGE_NAMES, ['en', 'es', 'fr'], {
    help: 'That a driver may choose here; the first is shown while nobody is there.',
  }),
  idleLayout: f.layout('Layout while idle', LAYOUT_FIELDS.idle),
  flowingLayout: f.layout('Layout while fuel flows', LAYOUT_FIELDS.flowing),
  filledLayout: f.layout('Layout after a fill', LAYOUT_FIELDS.filled),
  receiptLayout: f.layout('Layout of the receipt', LAYOUT_FIELDS.receipt),
  receiptDays: f.whole('Receipts kept', 0, 400, 3, { reason: `Three days for reprints: ${HABIT}` }),
  answer: f.seconds('Answer within', 15, { reason: `Fifteen seconds a question: ${HABIT}` }),
  refused: f.seconds('Refused screen', 15, { reason: `Fifteen seconds to read why: ${HABIT}` }),
  baud: f.whole('Reader baud', 300, 115_200, 9600, { reason: `9600 baud: ${HABIT}` }),
});

export const hose = z.strictObject({
  id: f.id(),
  site: f.ref('Site', 'sites'),
  number: f.whole('Hose number', 1, 99, 1, { help: 'As painted on the island.' }),
  island: f.ref('Island', 'islands'),
  pump: f.ref('Pump', 'pumps'),
  terminals: f.refs('Terminals', 'terminals', { help: 'From which it can be chosen.' }),
  product: f.ref('Product', 'products'),
  channel: f.whole('Channel', 1, 64, 1, { help: 'Of the box’s inputs and outputs.' }),
  pulses: f.milli('Pulses per gallon or litre', 1, 100_000_000, 100_000, {
    reason: `100 pulses per gallon: ${HABIT} The proving says what is right.`,
  }),
  pulser: f.since(
    f.choice('Pulser', { single: 'one channel', two: 'two channels, a quarter turn apart' }, 'single', {
      help: 'Two channels tell direction, and a missed edge is seen.',
    }),
  ),
  flow: f.flow('Rated flow', gallons(20)),
  mostPerFill: f.volume('Most per fill', gallons(100), { reason: `20 gal for petrol, 100 gal for diesel: ${HABIT}` }),
  lift: f.seconds('Lift within', 120, { reason: `Two minutes to lift the nozzle: ${HABIT}` }),
  firstPulse: f.seconds('First pulse within', 120, { reason: `Two minutes to begin: ${HABIT}` }),
  noPulse: f.seconds('Stop without pulses after', 30, { reason: `Half a minute: ${HABIT}` }),
  longest: f.minutes('Longest fill', 20, { reason: `10 minutes for petrol, 20 for diesel: ${HABIT}` }),
  active: f.flag('In service', true),
});

/** Starting values that depend on what flows: common practice, no source. */
export const startsFor = (kind: string): { mostPerFill: number; longest: number; flow: number } =>
  kind === 'petrol'
    ? { mostPerFill: gallons(20), longest: 10, flow: gallons(10) }
    : { mostPerFill: gallons(kind === 'def' ? 20 : 100), longest: 20, flow: gallons(kind === 'def' ? 10 : 20) };

/** A tank's fields that say how a level becomes a volume, in the order in which they are asked for. */
export const BODY_FIELDS = [
  'body',
  'diameter',
  'length',
  'width',
  'height',
  'ends',
  'endDepth',
  'dishRadius',
  'knuckleRadius',
  'fall',
  'gaugeAt',
  'chart',
] as const;
