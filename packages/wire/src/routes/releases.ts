import { z } from 'zod';
import * as s from '../replies.ts';
import type { Route } from './route.ts';

export const releases = {
  releases: {
    method: 'GET',
    path: '/api/releases',
    may: 'viewer',
    summary: 'Every release, newest first',
    reply: z.array(s.release),
  },
  release: {
    method: 'POST',
    path: '/api/releases',
    may: 'editor',
    summary: 'Freeze the draft, number it, and send it to every site',
    body: z.strictObject({
      version: z.int(),
      note: z.string().max(2000),
      words: z
        .record(z.string(), z.string().max(500))
        .describe(
          "a word for each warning by finding id, for each broken expectation as 'expectation:ID', and for what is gained as 'gained'",
        ),
      waves: z
        .strictObject({ first: z.array(z.string()).max(10_000), minutes: z.int().min(1).max(10_080) })
        .optional()
        .describe('the sites that are told first, and how long each wave must run well; left out, every site at once'),
    }),
    reply: s.release,
  },
  releasePreview: {
    method: 'GET',
    path: '/api/releases/preview',
    may: 'viewer',
    summary: 'What a release of the draft would change, and what stands against it',
    reply: s.preview,
  },
} as const satisfies Record<string, Route>;
