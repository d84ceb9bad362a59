import { z } from 'zod';
import type { Route } from './route.ts';

const word = z.strictObject({ at: z.int(), by: z.string(), note: z.string() });
const flag = z.strictObject({
  id: z.string(),
  code: z.string().regex(/^G\d\d$/),
  title: z.string(),
  reason: z.string(),
  next: z.string(),
  source: z.string(),
  at: z.int(),
  on: z.array(z.strictObject({ table: z.string(), id: z.string() })).min(1),
  text: z.string(),
  evidence: z.record(z.string(), z.union([z.string(), z.number()])),
  /** The site that it happened at; null where it is about weeks at several. */
  site: z.string().nullable(),
  /** A person's word on it; null while nobody has looked. */
  looked: word.nullable(),
});
export type FlagReply = z.infer<typeof flag>;

const span = z.object({
  since: z.coerce.number().int().min(0).optional().describe('ms UTC; 30 days ago if not given'),
  until: z.coerce.number().int().min(0).optional().describe('ms UTC; now if not given'),
});

export const flags = {
  flags: {
    method: 'GET',
    path: '/api/flags',
    may: 'viewer',
    summary: 'Unusual fills, newest first, each with its evidence, the next step and who has looked at it',
    query: span,
    reply: z.strictObject({ since: z.int(), until: z.int(), flags: z.array(flag) }),
  },
  lookedAtFlag: {
    method: 'POST',
    path: '/api/flags/looked-at',
    may: 'technician',
    summary: 'Write a word on a flag, so that it leaves the open list; or take it back with null',
    body: z.strictObject({
      ...span.shape,
      flag: z.string().max(300).describe('as listed for the same span'),
      note: z.string().max(500).nullable(),
    }),
    reply: z.strictObject({ looked: word.nullable() }),
  },
} as const satisfies Record<string, Route>;
