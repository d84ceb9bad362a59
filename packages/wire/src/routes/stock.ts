import { strappingSchema } from '@fillwright/core/fleet';
import { z } from 'zod';
import * as s from '../replies.ts';
import type { Route } from './route.ts';

/** Volumes in microlitres, moments in milliseconds UTC, statistics in litres and hours as floating point. */
const span = z.strictObject({ from: z.int(), to: z.int(), volume: z.int() });

export const stockBill = z.strictObject({
  move: z.string(),
  at: z.int(),
  gross: z.int(),
  net: z.int().nullable(),
  tempC: z.number().nullable(),
  document: z.string(),
  compartments: z.array(z.int()),
});

export const stockDelivery = z.strictObject({
  /** By the level, at 15 °C. */
  found: span.nullable(),
  bill: stockBill.nullable(),
  /** The bill at 15 °C. */
  billedNet: z.int().nullable(),
  netBy: z.string().nullable(),
  difference: z.int().nullable(),
});

export const stockModel = z.strictObject({
  verdict: z.enum(['pass', 'fail', 'inconclusive']),
  why: z.enum(['within', 'lost', 'gains', 'not seen']),
  /** Litres an hour. */
  rate: z.number(),
  margin: z.number(),
  leastSeen: z.number(),
  threshold: z.number(),
  limit: z.number(),
  residualMm: z.number(),
  widened: z.number(),
  /** How the gauge errs: one deviation, the part of its variance that neighbours share, and after how many hours 1/e of that is left. */
  gauge: z.strictObject({ wholeMm: z.number(), shared: z.number(), hours: z.number() }),
  readings: z.int(),
  leftOut: z.int(),
  hours: z.number(),
  hoses: z
    .array(
      z.strictObject({
        hose: z.string(),
        verdict: z.enum(['in step', 'drifts', 'cannot be told apart']),
        relative: z.number().nullable(),
        margin: z.number().nullable(),
        /** How likely it is that this hose drifts, alone or with one other. */
        chance: z.number().nullable(),
      }),
    )
    .readonly(),
  /** Something drifts, and it is one of these: hoses, or pairs of hoses, likeliest first. */
  oneOf: z.array(z.strictObject({ hoses: z.array(z.string()).readonly(), chance: z.number() })).readonly(),
  estimates: z.array(
    z.strictObject({
      part: z.string(),
      value: z.number(),
      deviation: z.number(),
      unit: z.string(),
      told: z.boolean(),
    }),
  ),
  confused: z.array(z.array(z.string())),
});

/** The tank's own chart beside the one in use. Litres from the lowest level seen; what lies below it nobody has measured. */
const ownChart = z.strictObject({
  /** What levels are read by today. */
  usedBy: z.enum(['strapping table', 'body', 'supposed']),
  runs: z.int(),
  readings: z.int(),
  residualMm: z.number(),
  points: z.array(z.strictObject({ mm: z.number(), used: z.number(), fitted: z.number(), margin: z.number() })),
  /** The strapping table that it would make, in the fleet's units; null where it does not rise all the way. */
  proposed: strappingSchema.nullable(),
});

export const tankStock = z.strictObject({
  tank: z.string(),
  from: z.int(),
  to: z.int(),
  capacity: z.int(),
  safe: z.int(),
  low: z.int(),
  /** Levels as the gauge made volumes of them, oldest first; thinned evenly above 20,000. */
  trace: z.array(z.tuple([z.int(), z.int()])),
  dips: z.array(z.tuple([z.int(), z.int()])),
  fills: z.array(z.strictObject({ id: z.string(), at: z.int(), hose: z.string(), volume: z.int() })),
  deliveries: z.array(stockDelivery),
  losses: z.array(span),
  days: z.array(
    z.strictObject({
      date: z.string(),
      opening: z.int(),
      delivered: z.int(),
      drawn: z.int(),
      corrected: z.int(),
      book: z.int(),
      measured: z.int(),
      over: z.int(),
      cumulative: z.int(),
      high: z.number().nullable(),
      low: z.number().nullable(),
      signal: z.enum(['loss', 'gain']).nullable(),
    }),
  ),
  month: z
    .strictObject({
      drawn: z.int(),
      over: z.int(),
      threshold: z.int(),
      within: z.boolean(),
      days: z.int(),
      means: z.string(),
      scope: z.string(),
    })
    .nullable(),
  ownChart: ownChart.nullable(),
  /** Why there is none. */
  noOwnChart: z.enum(['no levels', 'cannot be told apart']).nullable(),
  model: stockModel.nullable(),
  /** Why there is no estimate. */
  noModel: z.string().nullable(),
  water: z.strictObject({ fromMm: z.number(), toMm: z.number(), since: z.int() }).nullable(),
  runOut: z
    .strictObject({
      likelyDays: z.int().nullable(),
      earlyDays: z.int().nullable(),
      orderWithinDays: z.int().nullable(),
      leadDays: z.int(),
      room: z.int(),
      ahead: z.array(z.strictObject({ date: z.string(), low: z.int(), middle: z.int(), high: z.int() })),
    })
    .nullable(),
  cautions: z.array(z.string()),
});
export type TankStock = z.infer<typeof tankStock>;
export type StockDelivery = z.infer<typeof stockDelivery>;

/** A tank's wet stock in a line, over the 30 days before `to`. Nothing is a pass that was not judged. */
export const tankVerdict = z.strictObject({
  tank: z.string(),
  to: z.int(),
  verdict: stockModel.shape.verdict.nullable(),
  why: stockModel.shape.why.nullable(),
  /** Litres an hour; null where there is no estimate. */
  rate: z.number().nullable(),
  margin: z.number().nullable(),
  noModel: z.string().nullable(),
  /** Losses at once, the newest last. */
  losses: z.array(span),
  waterRises: z.boolean(),
  /** Over or short within 1.0 % and 130 gallons; null where no day was measured at both ends. */
  monthWithin: z.boolean().nullable(),
});
export type TankVerdict = z.infer<typeof tankVerdict>;

export const stock = {
  tankVerdicts: {
    method: 'GET',
    path: '/api/tanks/verdicts',
    may: 'viewer',
    summary:
      'Every tank’s verdict over 30 days as far as it is worked out; `left` are still to come. Decision support, not certified leak detection',
    reply: z.strictObject({ left: z.int(), tanks: z.array(tankVerdict) }),
  },
  tankStock: {
    method: 'GET',
    path: '/api/tanks/:tank/stock',
    may: 'viewer',
    summary:
      'A tank’s wet stock: trace, book by day, deliveries, verdict, run-out. Decision support, not certified leak detection',
    params: z.object({ tank: z.string() }),
    query: z.object({
      days: z.coerce.number().int().min(7).max(92).default(30),
      leadDays: z.coerce.number().int().min(0).max(14).default(2),
    }),
    reply: tankStock,
  },
  addDelivery: {
    method: 'POST',
    path: '/api/tanks/:tank/deliveries',
    may: 'technician',
    summary: 'Write a delivery into the book with its bill of lading',
    params: z.object({ tank: z.string() }),
    body: z.strictObject({
      at: z.int(),
      gross: z.int().min(1).max(1_000_000_000_000),
      net: z.int().min(1).max(1_000_000_000_000).nullable(),
      tempC: z.number().min(-50).max(80).nullable(),
      document: z.string().max(100),
      compartments: z.array(z.int().min(1).max(1_000_000_000_000)).max(12),
    }),
    reply: s.tankMove,
  },
} as const satisfies Record<string, Route>;
