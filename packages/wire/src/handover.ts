import { z } from 'zod';
import { signedText } from './messages.ts';

/**
 * How an office gives its signing key on. A statement names the key that was and the key that comes, and both have signed it: the old one
 * vouches for the new, the new one shows that the office holds it. Statements are numbered from 1 and kept for ever, so that a box that was
 * away follows them one after the other.
 */
const key = z.string().min(1).max(200);

export const handoverStatement = z.strictObject({
  form: z.literal('fillwright-office-key'),
  version: z.int().min(1),
  from: key,
  to: key,
  at: z.int(),
  /** From then on the old key counts for nothing, whether or not the office has said that all have the new one. */
  oldUntil: z.int(),
});
export const signedHandover = z.strictObject({ signed: z.string(), byOld: z.string(), byNew: z.string() });
/** Signed with the new key: every box has it, the old one ends now. */
export const oldKeyEnds = z.strictObject({ form: z.literal('fillwright-old-key-ends'), version: z.int().min(1) });
/** Every statement there is, in order, and whether the last one is through. */
export const keysMessage = z.strictObject({
  handovers: z.array(signedHandover).min(1).max(1_000),
  ends: signedText.nullable(),
});

export type HandoverStatement = z.infer<typeof handoverStatement>;
export type SignedHandover = z.infer<typeof signedHandover>;
export type KeysMessage = z.infer<typeof keysMessage>;
