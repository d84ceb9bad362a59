import { z } from 'zod';

/** What the hub tells a desk that listens at /api/events (server-sent events): what has changed, so that the desk asks again. */
export const deskEvent = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('draft'), version: z.int(), by: z.string() }),
  z.strictObject({ kind: z.literal('release'), number: z.int() }),
  z.strictObject({ kind: z.literal('rollout') }),
  z.strictObject({ kind: z.literal('site'), site: z.string() }),
  z.strictObject({ kind: z.literal('fill'), id: z.string(), site: z.string() }),
  z.strictObject({ kind: z.literal('refusal'), site: z.string() }),
  z.strictObject({ kind: z.literal('stop'), id: z.string() }),
  z.strictObject({ kind: z.literal('flag'), id: z.string() }),
  z.strictObject({ kind: z.literal('tank'), tank: z.string() }),
  z.strictObject({ kind: z.literal('money') }),
]);
export type DeskEvent = z.infer<typeof deskEvent>;
