import { z } from 'zod';
import * as s from '../replies.ts';
import type { Route } from './route.ts';

export const ledger = {
  fills: {
    method: 'GET',
    path: '/api/fills',
    may: 'viewer',
    summary: 'The ledger, newest first, with totals of everything that matches',
    query: s.fillFilter,
    reply: s.fillPage,
  },
  fill: {
    method: 'GET',
    path: '/api/fills/:id',
    may: 'viewer',
    summary: 'One fill with its decision, flow curve and journal entries',
    params: z.object({ id: z.string() }),
    reply: s.fillDetail,
  },
  fillsCsv: {
    method: 'GET',
    path: '/api/fills.csv',
    may: 'viewer',
    summary: 'The ledger as CSV',
    query: s.fillFilter,
    reply: z.unknown(),
    file: 'text/csv',
  },
  fillsBook: {
    method: 'GET',
    path: '/api/fills.xlsx',
    may: 'viewer',
    summary: 'The ledger as a workbook',
    query: s.fillFilter,
    reply: z.unknown(),
    file: 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet',
  },
  refusals: {
    method: 'GET',
    path: '/api/refusals',
    may: 'viewer',
    summary: 'Refused sessions, newest first',
    query: z.object({
      site: z.string().optional(),
      driver: z.string().optional(),
      vehicle: z.string().optional(),
      from: z.coerce.number().int().optional().describe('milliseconds UTC, included'),
      to: z.coerce.number().int().optional().describe('milliseconds UTC, included'),
      limit: z.coerce.number().int().min(1).max(500).default(100),
    }),
    reply: z.array(s.refusal),
  },
  setAside: {
    method: 'GET',
    path: '/api/set-aside',
    may: 'viewer',
    summary: 'Journal entries that were kept but not understood',
    reply: z.array(s.setAside),
  },
} as const satisfies Record<string, Route>;
