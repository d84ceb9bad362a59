import { z } from 'zod';
import * as s from '../replies.ts';
import type { Route } from './route.ts';

export const tanks = {
  tankBooks: {
    method: 'GET',
    path: '/api/tanks',
    may: 'viewer',
    summary: 'Each tank: book, last level, since when',
    reply: z.array(s.tankBook),
  },
  tankMoves: {
    method: 'GET',
    path: '/api/tanks/:tank/moves',
    may: 'viewer',
    summary: 'The book of one tank, newest first',
    params: z.object({ tank: z.string() }),
    query: z.object({ limit: z.coerce.number().int().min(1).max(2000).default(200) }),
    reply: z.array(s.tankMove),
  },
  addTankMove: {
    method: 'POST',
    path: '/api/tanks/:tank/moves',
    may: 'technician',
    summary: 'Write a delivery, a dip or a correction into the book',
    params: z.object({ tank: z.string() }),
    body: z.strictObject({
      kind: z.enum(['delivery', 'dip', 'correction']),
      volume: z.int().min(-1_000_000_000_000).max(1_000_000_000_000),
      at: z.int(),
      note: z.string().max(500),
    }),
    reply: s.tankMove,
  },
} as const satisfies Record<string, Route>;
