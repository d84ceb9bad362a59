import { z } from 'zod';
import * as s from '../replies.ts';
import { none, type Route, siteParams } from './route.ts';

export const gaps = {
  gaps: {
    method: 'GET',
    path: '/api/gaps',
    may: 'viewer',
    summary: 'Journal entries that neither office nor box has any more',
    reply: z.array(s.journalGap),
  },
  passGap: {
    method: 'POST',
    path: '/api/sites/:site/gaps',
    may: 'owner',
    summary: 'Let a gap stay, with a word: what lies beyond it is acknowledged',
    params: siteParams,
    body: z.strictObject({ epoch: z.string().max(100), from: z.int().min(1), word: z.string().max(500) }),
    reply: none,
  },
} as const satisfies Record<string, Route>;
