import { z } from 'zod';
import * as s from '../replies.ts';
import type { Route } from './route.ts';

export const waves = {
  rollouts: {
    method: 'GET',
    path: '/api/rollouts',
    may: 'viewer',
    summary: 'How the last releases went out, wave by wave',
    reply: z.array(s.rollout),
  },
  steerRollout: {
    method: 'POST',
    path: '/api/rollouts/:number',
    may: 'editor',
    summary: 'Pause a release that goes out, let it go on, tell the next wave now, or stop it for good',
    params: z.object({ number: z.coerce.number().int() }),
    body: z.strictObject({ deed: z.enum(['pause', 'go on', 'next', 'stop']) }),
    reply: z.array(s.rollout),
  },
} as const satisfies Record<string, Route>;
