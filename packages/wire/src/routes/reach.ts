import { z } from 'zod';
import type { Route } from './route.ts';

const on = z.strictObject({ table: z.string(), id: z.string() }).nullable().describe('the record that it is about');
const told = {
  lines: z.array(
    z.strictObject({
      title: z.string(),
      says: z.enum(['pass', 'refuse', 'limit', 'ask', 'notLookedAt']),
      text: z.string(),
      decides: z.boolean(),
      on,
    }),
  ),
  remedies: z.array(
    z.strictObject({
      changes: z.array(z.strictObject({ text: z.string(), who: z.enum(['person', 'editor', 'technician']), on })),
      limit: z.int(),
    }),
  ),
};
const says = z.strictObject({ approved: z.boolean(), by: z.string(), limit: z.int().nullable() });

export const reach = {
  why: {
    method: 'GET',
    path: '/api/why/:id',
    may: 'viewer',
    summary:
      'A fill or a refused session decided again under the revision that stood then, and the smallest changes that would have helped',
    params: z.object({ id: z.string() }),
    query: z.object({
      wanted: z.coerce.number().int().min(0).default(0).describe('microlitres that should have been approved at least'),
    }),
    reply: z.strictObject({
      id: z.string(),
      site: z.string(),
      hose: z.string(),
      at: z.int(),
      revision: z.int(),
      recorded: says.describe('as the site put it on record'),
      again: says.describe('as it comes out now, from what the office knows'),
      agrees: z.boolean(),
      taken: z.array(z.string()).describe('what the record does not say and was taken so'),
      ...told,
    }),
  },
  askWhy: {
    method: 'GET',
    path: '/api/why',
    may: 'viewer',
    summary:
      'What a site would decide for a card, or for a driver and a vehicle, at a hose and a moment, under what it runs; and the smallest changes that would help',
    query: z.object({
      site: z.string(),
      hose: z.string(),
      at: z.coerce.number().int().min(0),
      card: z.string().optional().describe('number of a credential; else the driver and the vehicle name theirs'),
      driver: z.string().optional(),
      vehicle: z.string().optional(),
      pin: z.enum(['right', 'wrong', 'locked', 'notSet']).default('right'),
      cutOff: z.stringbool().default(false),
      wanted: z.coerce.number().int().min(0).default(0).describe('microlitres that should be approved at least'),
    }),
    reply: z.strictObject({
      revision: z.int(),
      cards: z.array(z.string()).describe('numbers that were presented'),
      again: says,
      taken: z.array(z.string()),
      ...told,
    }),
  },
  accessStatement: {
    method: 'GET',
    path: '/api/access-statement.pdf',
    may: 'viewer',
    summary:
      'Who may draw what, where, when and how much, in plain words, as PDF; of one of a site, department, driver or vehicle',
    query: z.object({
      which: z
        .string()
        .default('draft')
        .describe("'draft', the number of a release, or 'running': what the site says that it runs (needs a site)"),
      site: z.string().optional(),
      department: z.string().optional(),
      driver: z.string().optional(),
      vehicle: z.string().optional(),
    }),
    reply: z.unknown(),
    file: 'application/pdf',
  },
} as const satisfies Record<string, Route>;
