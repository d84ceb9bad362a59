import { z } from 'zod';
import * as s from '../replies.ts';
import { type Route, which } from './route.ts';

export const imports = {
  stageImport: {
    method: 'POST',
    path: '/api/imports',
    may: 'editor',
    summary: 'Read a file without changing anything; the body is the file',
    query: z.object({ name: z.string().max(300) }),
    reply: s.staged,
  },
  mapImport: {
    method: 'POST',
    path: '/api/imports/:id/mapping',
    may: 'editor',
    summary: 'Read it again with a corrected mapping',
    params: z.object({ id: z.string() }),
    body: z.strictObject({ mapping: z.unknown() }),
    reply: s.staged,
  },
  applyImport: {
    method: 'POST',
    path: '/api/imports/:id/apply',
    may: 'editor',
    summary: 'Take the good rows into the draft, as one change',
    params: z.object({ id: z.string() }),
    body: z.strictObject({ version: z.int() }),
    reply: s.draftChanged,
  },
  exportBook: {
    method: 'GET',
    path: '/api/export.xlsx',
    may: 'viewer',
    summary: 'The fleet as a workbook',
    query: which,
    reply: z.unknown(),
    file: 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet',
  },
  template: {
    method: 'GET',
    path: '/api/template.xlsx',
    may: 'viewer',
    summary: 'An empty intake workbook',
    reply: z.unknown(),
    file: 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet',
  },
} as const satisfies Record<string, Route>;
