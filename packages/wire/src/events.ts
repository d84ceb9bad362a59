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
  /** How far a question is that was put with this name in the header `ASKED`. */
  z.strictObject({ kind: z.literal('progress'), asked: z.string(), done: z.int(), of: z.int() }),
]);
/** A header in which a desk names a question, letters, digits and '-', so that it hears how far the answer is. */
export const ASKED = 'x-fillwright-asked';
export type DeskEvent = z.infer<typeof deskEvent>;
