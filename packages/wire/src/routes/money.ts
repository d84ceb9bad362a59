import { z } from 'zod';
import { none, type Route } from './route.ts';

/** Money is an integer of 1/10,000 of the currency; on statements always whole cents. Days are 'YYYY-MM-DD', both ends included. */
const day = z.string().regex(/^\d{4}-\d{2}-\d{2}$/);
const use = z.enum(['road', 'offRoad', 'exempt']);

const taxShape = {
  name: z.string().trim().min(1).max(60),
  products: z.array(z.string()).min(1).max(100).readonly(),
  sites: z.array(z.string()).min(1).max(1000).readonly().nullable(),
  from: day,
  kind: z.enum(['volume', 'percent']),
  rate: z.int().min(0).max(100_000_000),
  inPrice: z.boolean(),
  exempt: z.array(use).max(3).readonly(),
};
export const accountTax = z.strictObject({ id: z.string(), ...taxShape });

export const accountPeriod = z.strictObject({
  number: z.int(),
  from: day,
  to: day,
  closedAt: z.int(),
  closedBy: z.string(),
  word: z.string(),
  digest: z.string(),
});

const correction = z.strictObject({
  id: z.string(),
  date: day,
  costCentre: z.string(),
  amount: z.int(),
  reason: z.string(),
  by: z.string(),
});

const sums = z.strictObject({
  fills: z.int(),
  /** Lines that take back what an earlier period charged. */
  takenBack: z.int(),
  /** Thousandths of a gallon or litre. */
  milli: z.int(),
  net: z.int(),
  taxes: z.array(z.int()).readonly(),
  gross: z.int(),
  corrections: z.int(),
  due: z.int(),
});
const groups = z.array(z.strictObject({ name: z.string(), sums })).readonly();

export const moneyStatement = z.strictObject({
  from: day,
  to: day,
  /** closed: as kept; next: what closing would keep; span: other days, as the ledger stands. */
  state: z.enum(['closed', 'next', 'span']),
  period: accountPeriod.nullable(),
  /** Over at every site. */
  over: z.boolean(),
  digest: z.string(),
  /** Fills that have not ended: they come late once they do. */
  open: z.int(),
  /** Fills of closed days that came more than 400 days late: in no period, for a person to correct. */
  tooLate: z.int(),
  taxes: z.array(z.string()).readonly(),
  whole: sums,
  costCentres: groups,
  vehicles: groups,
  drivers: groups,
  products: groups,
  corrections: z.array(correction).readonly(),
  /** Lines that a person should look at, at most 200. */
  odd: z.array(
    z.strictObject({
      fill: z.string(),
      date: day,
      site: z.string(),
      vehicle: z.string(),
      product: z.string(),
      milli: z.int(),
      note: z.string(),
      /** 26 USC 6715(b), one act, in 1/10,000 of a dollar; null where the fuel is not dyed or the fleet does not count in gallons. */
      penalty: z.int().nullable(),
    }),
  ),
  oddCount: z.int(),
  /** By jurisdiction and product, diesel exhaust fluid left out; what is taken back of an earlier period is a row of its own. */
  jurisdictions: z.array(
    z.strictObject({
      jurisdiction: z.string(),
      product: z.string(),
      back: z.strictObject({ from: day, to: day }).nullable(),
      milli: z.int(),
      taxes: z.array(z.int()).readonly(),
    }),
  ),
  /** Lines of closed periods that turned out to be no sale, with the opposite sign, and the period that had charged each. */
  takenBack: z.array(
    z.strictObject({
      fill: z.string(),
      date: day,
      site: z.string(),
      jurisdiction: z.string(),
      costCentre: z.string(),
      vehicle: z.string(),
      product: z.string(),
      milli: z.int(),
      taxes: z.array(z.int()).readonly(),
      gross: z.int(),
      from: day,
      to: day,
      reason: z.string(),
      by: z.string(),
    }),
  ),
});
export type MoneyStatement = z.infer<typeof moneyStatement>;
export type AccountTax = z.infer<typeof accountTax>;
export type AccountSums = z.infer<typeof sums>;

const span = z.object({ from: day, to: day });
const file = (path: string, summary: string, type: string) =>
  ({ method: 'GET', path, may: 'viewer', summary, query: span, reply: z.unknown(), file: type }) as const;

export const money = {
  money: {
    method: 'GET',
    path: '/api/money',
    may: 'viewer',
    summary: 'Closed periods, the one to close next, and taxes as entered',
    reply: z.strictObject({
      next: z.strictObject({ from: day, to: day }),
      periods: z.array(accountPeriod),
      taxes: z.array(accountTax),
    }),
  },
  moneyStatement: {
    method: 'GET',
    path: '/api/money/statement',
    may: 'viewer',
    summary:
      'The statement of a span: sums by cost centre, vehicle, driver and product. Decision support, not tax advice',
    query: span,
    reply: moneyStatement,
  },
  statementPdf: file('/api/money/statement.pdf', 'The statement of a span as PDF', 'application/pdf'),
  statementBook: file(
    '/api/money/statement.xlsx',
    'The statement of a span as a workbook',
    'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet',
  ),
  statementCsv: file('/api/money/statement.csv', 'The statement of a span as CSV', 'text/csv'),
  fuelCsv: file('/api/money/fuel.csv', 'Fuel by jurisdiction and product of a span as CSV', 'text/csv'),
  addTax: {
    method: 'POST',
    path: '/api/money/taxes',
    may: 'editor',
    summary: 'Enter a tax from a day on; closed periods stay as they are',
    body: z.strictObject(taxShape),
    reply: accountTax,
  },
  removeTax: {
    method: 'DELETE',
    path: '/api/money/taxes/:id',
    may: 'editor',
    summary: 'Take a tax away that was entered wrongly; closed periods stay as they are',
    params: z.object({ id: z.string() }),
    reply: none,
  },
  addCorrection: {
    method: 'POST',
    path: '/api/money/corrections',
    may: 'editor',
    summary: 'Put an amount right, as an entry of its own in the next period',
    body: z.strictObject({
      costCentre: z.string(),
      date: day,
      amount: z
        .int()
        .min(-100_000_000_000)
        .max(100_000_000_000)
        .refine((a) => a !== 0 && a % 100 === 0, { error: 'whole cents, and not nothing' }),
      reason: z.string().trim().min(1).max(300),
    }),
    reply: none,
  },
  closePeriod: {
    method: 'POST',
    path: '/api/money/close',
    may: 'owner',
    summary: 'Close the next period: its statement stays as it is from then on',
    body: z.strictObject({ from: day, to: day, digest: z.string(), word: z.string().trim().min(1).max(300) }),
    reply: accountPeriod,
  },
} as const satisfies Record<string, Route>;
