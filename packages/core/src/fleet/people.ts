import { z } from 'zod';
import * as f from './fields.ts';

/** Who may draw: the roster (drivers, vehicles, credentials) and the allowances that it is given. */

export const costCentre = z.strictObject({
  id: f.id(),
  name: f.name(),
  code: f.text('Code', { help: 'As the accounts know it.' }),
  tier: f.text('Tier', { help: 'Which of the prices it is billed at; empty: those without a tier.' }),
});

export const allowance = z.strictObject({
  id: f.id(),
  name: f.name(),
  products: f.refs('Products', 'products', { help: 'Which products may be drawn under it. None named: none allowed.' }),
  perFill: f.volumeOrNone('Per fill', { empty: 'no limit' }),
  perDay: f.volumeOrNone('Per day', { empty: 'no limit' }),
  perWeek: f.volumeOrNone('Per week', { empty: 'no limit', help: 'A week begins on Monday, 00:00 at the site.' }),
  perMonth: f.volumeOrNone('Per month', { empty: 'no limit' }),
  fillsPerDay: f.wholeOrNone('Fills per day', 0, 1000, { empty: 'no limit' }),
  times: f.windows('Times', { help: 'When, by the clock on the site’s wall.' }),
  sites: f.refsOrAll('Sites', 'sites'),
  cutOff: f.choice(
    'When cut off',
    { goOn: 'go on with what the site knows', share: 'go on with a share', decline: 'decline' },
    'goOn',
    { help: 'What holds for day, week and month while the site has not heard of the other sites.' },
  ),
  share: f.percent('Share', 25, { help: 'Of what is left for day, week and month, while cut off.' }),
});

const holder = {
  id: f.id(),
  name: f.name(),
  department: f.text('Department'),
  costCentre: f.refOrNone('Cost centre', 'costCentres', { empty: 'none' }),
  allowances: f.refs('Allowances', 'allowances'),
  sites: f.refsOrAll('Sites', 'sites'),
  questions: f.refs('Questions', 'questions'),
  validFrom: f.dateOrNone('Valid from', { empty: 'from the start' }),
  validUntil: f.dateOrNone('Valid until', { empty: 'no end', help: 'The last day on which it counts.' }),
  active: f.flag('Active', true),
};

export const driver = z.strictObject({
  ...holder,
  number: f.text('Number', { help: 'Of the person in the payroll.' }),
});

export const vehicle = z.strictObject({
  ...holder,
  plate: f.text('Plate'),
  vin: f.text('VIN'),
  capacity: f.volumeOrNone('Fuel tank', { empty: 'not known', help: 'What the vehicle’s own tank holds.' }),
  counter: f.choice('Counter', { odometer: 'odometer', hours: 'engine hours', none: 'none' }, 'odometer'),
  use: f.choice(
    'Use',
    { road: 'road', offRoad: 'off the road', exempt: 'exempt body, such as a fire service' },
    'road',
    { help: 'For taxes on statements; it stops nobody from drawing.' },
  ),
});

export const credential = z.strictObject({
  id: f.id(),
  kind: f.choice('Kind', { card: 'card', fob: 'fob', keyed: 'keyed number' }, 'card'),
  number: f.text('Number', { help: 'As the reader gives it, digits only.' }),
  driver: f.refOrNone('Driver', 'drivers', { empty: 'none' }),
  vehicle: f.refOrNone('Vehicle', 'vehicles', { empty: 'none' }),
  validFrom: f.dateOrNone('Valid from', { empty: 'from the start' }),
  validUntil: f.dateOrNone('Valid until', { empty: 'no end' }),
  stopped: f.flag('Stopped', false, { help: 'Lost, stolen or withdrawn: no site accepts it.' }),
});

export const question = z.strictObject({
  id: f.id(),
  prompt: f.text('Prompt', { help: 'As the terminal’s display shows it.' }),
  kind: f.choice(
    'Kind',
    { odometer: 'odometer', hours: 'engine hours', job: 'job number', text: 'one with accepted answers' },
    'odometer',
  ),
  accepted: f.texts('Accepted answers', { help: 'For a job number, none listed means any.' }),
  digits: f.whole('Most digits', 1, 20, 6, { reason: 'Six keyed digits: common practice, no source.' }),
  leastAdvance: f.wholeOrNone('Least advance', 0, 10_000_000, {
    empty: 'not checked',
    help: 'Since the last reading of this vehicle.',
  }),
  mostAdvance: f.wholeOrNone('Most advance', 0, 10_000_000, {
    empty: 'not checked',
    help: 'Since the last reading of this vehicle.',
  }),
  whenImplausible: f.choice('When implausible', { decline: 'decline', note: 'accept and note' }, 'decline'),
});

export const price = z.strictObject({
  id: f.id(),
  product: f.ref('Product', 'products'),
  site: f.refOrNone('Site', 'sites', { empty: 'every site without its own' }),
  from: f.date('Holds from'),
  price: f.money('Price', { help: 'Per gallon or litre, as the fleet counts.' }),
  tier: f.text('Tier', {
    help: 'Only for cost centres of this tier, on statements; terminals and receipts use prices without a tier.',
  }),
});

/** A wish of the customer, put together from chosen words and checked against reach. */
export const expectation = z.strictObject({
  id: f.id(),
  who: f.choice(
    'Who',
    {
      everyone: 'everyone',
      driver: 'the driver',
      vehicle: 'the vehicle',
      department: 'the department',
      costCentre: 'the cost centre',
      nobodyBut: 'nobody but the department',
      nobodyButCostCentre: 'nobody but the cost centre',
      nobodyButDriver: 'nobody but the driver',
      nobodyButVehicle: 'nobody but the vehicle',
    },
    'everyone',
  ),
  whoName: f.text('Of which', { help: 'The id of a driver, vehicle or cost centre, or the name of a department.' }),
  must: f.choice(
    'Must',
    { can: 'can draw', never: 'can never draw', atLeast: 'can draw at least', atMost: 'can draw at most' },
    'can',
  ),
  quantity: f.volumeOrNone('Quantity', { empty: 'any' }),
  product: f.refOrNone('Product', 'products', { empty: 'any product' }),
  site: f.refOrNone('Site', 'sites', { empty: 'any site' }),
  hose: f.refOrNone('Hose', 'hoses', { empty: 'any hose' }),
  times: f.windows('When', { help: 'By the clock on the site’s wall.' }),
  from: f.dateOrNone('From', { empty: 'from now on' }),
  until: f.dateOrNone('Until', { empty: 'no end', help: 'The last day that it speaks of.' }),
  wish: f.text('Wish', { help: 'In the customer’s own words.' }),
});
