import { z } from 'zod';
import type { Route } from './route.ts';

const hoseOf = { hose: z.string() };
const seen = z.discriminatedUnion('by', [
  z.strictObject({ by: z.literal('runs'), release: z.int() }),
  z.strictObject({
    by: z.literal('let in'),
    terminal: z.string(),
    ...hoseOf,
    driver: z.string().nullable(),
    vehicle: z.string().nullable(),
    limit: z.int(),
  }),
  z.strictObject({
    by: z.literal('turned away'),
    terminal: z.string(),
    credentials: z.array(z.string()),
    rule: z.string(),
  }),
  z.strictObject({ by: z.literal('limit'), ...hoseOf }),
  z.strictObject({ by: z.literal('ended'), ...hoseOf, reason: z.string() }),
  z.strictObject({ by: z.literal('e-stop') }),
  z.strictObject({ by: z.literal('reset') }),
  z.strictObject({ by: z.literal('gauge'), tank: z.string() }),
  z.strictObject({ by: z.literal('proof'), ...hoseOf }),
]);

const sheet = z.strictObject({
  site: z.string(),
  release: z.int(),
  at: z.int(),
  steps: z.array(
    z.strictObject({
      id: z.string(),
      part: z.enum(['safety', 'start', 'access', 'hose', 'terminal', 'tank', 'meter', 'stop', 'handOver']),
      act: z.string(),
      expect: z.string(),
      seen: seen.nullable(),
      who: z.string().nullable(),
      caution: z.boolean(),
    }),
  ),
  bring: z.array(z.string()),
  fewest: z.boolean(),
  notNow: z.array(z.string()),
});

/** good: as expected. bad: not as expected. stands: not as expected, or not done, and a person says why it may stand. open: taken back. */
const verdict = z.enum(['good', 'bad', 'stands', 'open']);
/** Made at the tablet, so that the same result sent twice is kept once. */
const id = z.string().regex(/^[\w-]{8,64}$/);

const said = z.strictObject({
  step: z.string(),
  verdict,
  at: z.int(),
  by: z.string(),
  note: z.string(),
  /** The journal entry, fill or proving run that says so; null: a person did. */
  ref: z.string().nullable(),
});

const head = z.strictObject({
  id: z.string(),
  site: z.string(),
  release: z.int(),
  madeAt: z.int(),
  madeBy: z.string(),
  signedAt: z.int().nullable(),
  signer: z.string().nullable(),
});
export type WorksheetHead = z.infer<typeof head>;

const whole = head.extend({
  sheet,
  /** What stands for each step that is not open. */
  results: z.array(said),
  photos: z.array(z.strictObject({ id: z.string(), step: z.string(), at: z.int(), by: z.string() })),
  signature: z.string().nullable(),
});
export type WorksheetReply = z.infer<typeof whole>;

/** Moves and lines in a box of 600 by 200, as a signature pad draws. */
export const SIGNATURE = /^(M\d{1,3} \d{1,3}( L\d{1,3} \d{1,3})+ ?)+$/;
/** Most bytes of a photo, and most photos of a worksheet. */
export const PHOTO_BYTES = 600_000;
export const MOST_PHOTOS = 60;

const params = z.object({ id: z.string() });

export const worksheets = {
  worksheets: {
    method: 'GET',
    path: '/api/worksheets',
    may: 'viewer',
    summary: 'Commissioning worksheets, newest first',
    query: z.object({ site: z.string().optional() }),
    reply: z.array(head),
  },
  makeWorksheet: {
    method: 'POST',
    path: '/api/worksheets',
    may: 'technician',
    summary: 'Make a site’s worksheet from its newest release, for a moment',
    body: z.strictObject({ site: z.string(), at: z.int().optional() }),
    reply: whole,
  },
  worksheet: {
    method: 'GET',
    path: '/api/worksheets/:id',
    may: 'viewer',
    summary: 'A worksheet with what persons said and what the journal proves',
    params,
    reply: whole,
  },
  addResults: {
    method: 'POST',
    path: '/api/worksheets/:id/results',
    may: 'technician',
    summary: 'Write results, such as were gathered offline; a result that was sent before is kept once',
    params,
    body: z.strictObject({
      results: z
        .array(z.strictObject({ id, step: z.string().max(200), verdict, at: z.int(), note: z.string().max(500) }))
        .min(1)
        .max(500),
    }),
    reply: whole,
  },
  addPhoto: {
    method: 'POST',
    path: '/api/worksheets/:id/photos',
    may: 'technician',
    summary: `Keep a photo with a step: JPEG or PNG, at most ${PHOTO_BYTES / 1000} kB`,
    params,
    body: z.strictObject({
      id,
      step: z.string().max(200),
      at: z.int(),
      /** Base64 of the file. */
      data: z.string().max(Math.ceil(PHOTO_BYTES / 3) * 4),
    }),
    reply: z.strictObject({ id: z.string() }),
  },
  worksheetPhoto: {
    method: 'GET',
    path: '/api/worksheets/:id/photos/:photo',
    may: 'viewer',
    summary: 'A photo',
    params: z.object({ id: z.string(), photo: z.string() }),
    reply: z.unknown(),
    file: 'image/jpeg',
  },
  signWorksheet: {
    method: 'POST',
    path: '/api/worksheets/:id/signature',
    may: 'technician',
    summary: 'Sign a worksheet; nothing is written into it afterwards',
    params,
    body: z.strictObject({
      at: z.int(),
      signer: z.string().min(1).max(100),
      signature: z.string().max(60_000).regex(SIGNATURE),
    }),
    reply: whole,
  },
  worksheetPaper: {
    method: 'GET',
    path: '/api/worksheets/:id/paper',
    may: 'viewer',
    summary: 'A worksheet as PDF for the customer',
    params,
    reply: z.unknown(),
    file: 'application/pdf',
  },
} as const satisfies Record<string, Route>;
