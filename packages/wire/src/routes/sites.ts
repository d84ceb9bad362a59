import { z } from 'zod';
import * as s from '../replies.ts';
import { none, type Route, siteParams } from './route.ts';

export const sites = {
  sites: {
    method: 'GET',
    path: '/api/sites',
    may: 'viewer',
    summary: 'Each site: wanted, delivered and running revision, link, hoses and tanks',
    reply: z.array(s.siteStatus),
  },
  joinCode: {
    method: 'POST',
    path: '/api/sites/:site/join-code',
    may: 'technician',
    summary: 'A one-time code with which a box joins',
    params: siteParams,
    reply: z.strictObject({ code: z.string(), until: z.int() }),
  },
  join: {
    method: 'POST',
    path: '/api/join',
    may: 'anyone',
    summary: 'A box joins with its one-time code and its own keys',
    body: z.strictObject({
      code: z.string().max(60),
      signKey: z.string().max(200),
      sealKey: z.string().max(200),
      box: z.string().max(100),
    }),
    reply: s.joined,
  },
  running: {
    method: 'GET',
    path: '/api/sites/:site/running',
    may: 'viewer',
    summary: 'The fleet as one site runs it',
    params: siteParams,
    reply: s.fleetReply,
  },
  stopCredential: {
    method: 'POST',
    path: '/api/credentials/:id/stop',
    may: 'editor',
    summary: 'Stop a credential at every site now',
    params: z.object({ id: z.string() }),
    body: z.strictObject({ reason: z.string().max(500) }),
    reply: s.stop,
  },
  stops: {
    method: 'GET',
    path: '/api/stops',
    may: 'viewer',
    summary: 'Urgent stops, and which sites have them',
    reply: z.array(s.stop),
  },
  setPin: {
    method: 'POST',
    path: '/api/drivers/:id/pin',
    may: 'editor',
    summary: 'Set a driver’s PIN, or take it away with null',
    params: z.object({ id: z.string() }),
    body: z.strictObject({ pin: z.string().max(20).nullable() }),
    reply: none,
  },
  pinsSet: {
    method: 'GET',
    path: '/api/pins',
    may: 'viewer',
    summary: 'Which drivers have a PIN, never the PIN',
    reply: z.array(z.string()),
  },
} as const satisfies Record<string, Route>;
