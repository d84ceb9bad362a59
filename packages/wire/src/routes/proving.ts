import { z } from 'zod';
import type { Route } from './route.ts';

/** Volumes in microlitres or thousandths as named, temperatures in °C, moments in milliseconds UTC, dates YYYY-MM-DD at the site. */
const date = z.iso.date();
const tempC = z.number().min(-50).max(80).nullable();

export const meterRule = z.discriminatedUnion('by', [
  z.strictObject({ by: z.literal('HB 44'), accuracy: z.enum(['0.3', '0.5', '1.1']) }),
  z.strictObject({
    by: z.literal('2014/32/EU'),
    accuracy: z.enum(['0.3', '0.5', '1.0', '1.5', '2.5']),
    line: z.enum(['A', 'B']),
  }),
]);

export const provingRun = z.strictObject({
  unit: z.enum(['gal', 'l']),
  rule: meterRule,
  occasion: z.enum(['acceptance', 'maintenance']),
  date,
  pulsesMilli: z.int().min(1),
  prover: z.strictObject({
    name: z.string().min(1).max(100),
    certificate: z.string().min(1).max(100),
    certifiedOn: date,
    expiresOn: date,
    baseC: z.number().min(-10).max(40),
    expansionPerC: z.number().min(0).max(0.001),
  }),
  density: z.number().min(600).max(1200).nullable(),
  drafts: z
    .array(
      z.strictObject({
        kind: z.enum(['normal', 'special']),
        indicatedMilli: z.int(),
        readingMilli: z.int(),
        flow: z.int().min(1).nullable(),
        meterC: tempC,
        proverC: tempC,
      }),
    )
    .min(1)
    .max(20),
});

const judged = z.strictObject({
  verdict: z.enum(['passes', 'fails', 'incomplete']),
  drafts: z.array(
    z.strictObject({
      kind: z.enum(['normal', 'special']),
      deliveredPercent: z.number(),
      indicationPercent: z.number(),
      meterFactor: z.number(),
      tolerance: z.number(),
      passes: z.boolean(),
      direction: z.enum(['gives away', 'short', 'exact']),
      correctedMilli: z.int(),
    }),
  ),
  repeatability: z.array(
    z.strictObject({
      range: z.number(),
      allowed: z.number(),
      passes: z.boolean(),
      indicatedMilli: z.int(),
      drafts: z.int(),
    }),
  ),
  lacks: z.array(z.enum(['noFull', 'noSlow', 'certificate', 'once'])),
  cautions: z.array(z.enum(['proverTemperature', 'liquid', 'small', 'near'])),
  deliveredPercent: z.number().nullable(),
  truePulsesMilli: z.int().nullable(),
});

export const proving = z.strictObject({
  id: z.string(),
  site: z.string(),
  hose: z.string(),
  at: z.int(),
  by: z.string(),
  run: provingRun,
  judged,
  note: z.string(),
  tank: z.string().nullable(),
  returned: z.int().nullable(),
  /** Fills of the ledger that were drawn for it: no sale. */
  fills: z.array(z.string()),
});
export type Proving = z.infer<typeof proving>;

export const provings = {
  provings: {
    method: 'GET',
    path: '/api/provings',
    may: 'viewer',
    summary: 'Proving runs of the fleet’s meters, newest first',
    query: z.object({ hose: z.string().optional(), limit: z.coerce.number().int().min(1).max(1000).default(500) }),
    reply: z.array(proving),
  },
  addProving: {
    method: 'POST',
    path: '/api/provings',
    may: 'technician',
    summary: 'Keep a proving run; test fuel goes back into a tank’s book, and fills that are named become no sale',
    body: z.strictObject({
      hose: z.string(),
      at: z.int(),
      run: provingRun,
      note: z.string().max(500),
      back: z.strictObject({ tank: z.string(), volume: z.int().min(1).max(1_000_000_000_000) }).nullable(),
      fills: z.array(z.string().max(240)).max(40),
    }),
    reply: proving,
  },
  provingPaper: {
    method: 'GET',
    path: '/api/provings/:id/paper',
    may: 'viewer',
    summary: 'A proving run as PDF',
    params: z.object({ id: z.string() }),
    reply: z.unknown(),
    file: 'application/pdf',
  },
} as const satisfies Record<string, Route>;
