import { z } from 'zod';
import type { Route } from './route.ts';

const officeKey = z.strictObject({
  version: z.int().describe('how often the key was given on'),
  publicKey: z.string(),
  since: z.int().nullable().describe('when the one before it gave it on; null for one that none gave on'),
  fingerprint: z.string().describe('what people compare when a key is set at a box by hand'),
  next: z
    .strictObject({
      version: z.int(),
      fingerprint: z.string(),
      since: z.int(),
      until: z.int().describe('from then on boxes take the old key no more'),
      has: z.array(z.string()).describe('sites of this fleet whose boxes have said that they have the new key'),
      waiting: z.array(z.string()).describe('sites of this fleet whose boxes do not have the new key yet'),
      others: z.int().describe('boxes of other fleets of this office that do not'),
    })
    .nullable(),
});
export type OfficeKey = z.infer<typeof officeKey>;

export const officeKeys = {
  officeKey: {
    method: 'GET',
    path: '/api/office/key',
    may: 'technician',
    summary: 'The key that the office signs with, and who does not have the one that comes',
    reply: officeKey,
  },
  handOverKey: {
    method: 'POST',
    path: '/api/office/key/handover',
    may: 'owner',
    summary: 'Make a new key and give it on, signed with the old one',
    body: z.strictObject({ until: z.int().describe('ms UTC; the old key ends then at the latest') }),
    reply: officeKey,
  },
} as const satisfies Record<string, Route>;
