import { z } from 'zod';
import type { Route } from './route.ts';

export const reach = {
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
