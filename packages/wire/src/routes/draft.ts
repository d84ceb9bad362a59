import { editSchema } from '@fillwright/core/fleet';
import { z } from 'zod';
import * as s from '../replies.ts';
import { type Route, which } from './route.ts';

export const draft = {
  draft: { method: 'GET', path: '/api/draft', may: 'viewer', summary: 'The draft as it stands', reply: s.draft },
  editDraft: {
    method: 'POST',
    path: '/api/draft/edits',
    may: 'editor',
    summary: 'Change the draft',
    body: z.strictObject({
      version: z.int().min(0),
      edits: z.array(editSchema).min(1).max(200_000),
      note: z.string().max(500).optional(),
    }),
    reply: s.draftChanged,
  },
  undo: {
    method: 'POST',
    path: '/api/draft/undo',
    may: 'editor',
    summary: 'Take the last change back',
    body: z.strictObject({ version: z.int() }),
    reply: s.draftChanged,
  },
  redo: {
    method: 'POST',
    path: '/api/draft/redo',
    may: 'editor',
    summary: 'Make the change again that was taken back',
    body: z.strictObject({ version: z.int() }),
    reply: s.draftChanged,
  },
  draftSince: {
    method: 'GET',
    path: '/api/draft/since',
    may: 'viewer',
    summary: 'The changes after a version',
    query: z.object({ version: z.coerce.number().int() }),
    reply: z.array(s.change),
  },
  history: {
    method: 'GET',
    path: '/api/draft/history',
    may: 'viewer',
    summary: 'Who changed what, newest first',
    query: z.object({
      before: z.coerce.number().int().optional(),
      limit: z.coerce.number().int().min(1).max(500).default(100),
    }),
    reply: z.array(s.pastChange),
  },
  fleet: {
    method: 'GET',
    path: '/api/fleet',
    may: 'viewer',
    summary: 'The fleet of the draft or of a release, as JSON',
    query: which,
    reply: s.fleetReply,
  },
} as const satisfies Record<string, Route>;
