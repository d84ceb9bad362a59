import { createHash } from 'node:crypto';
import { canonical } from '@fillwright/core/fleet';
import type { SignedText } from '@fillwright/wire';

/**
 * Signatures as they are meant: a text holds where the office has signed it, to the letter, and any other is refused. Nobody forges here,
 * and what forgers come to is shown with the real ones (`apps/site/src/attacks.test.ts`); those are half of a run's time and of true chance.
 */
export interface Signatures {
  readonly publicKey: string;
  sign(value: unknown): SignedText;
  /** The value inside, or undefined where the office has not signed it. */
  open(text: SignedText, publicKey: string): unknown;
}

export function openSignatures(): Signatures {
  const publicKey = 'the key of the office';
  const given = new Map<string, string>();
  return {
    publicKey,
    sign(value) {
      const signed = canonical(value);
      const signature = createHash('sha256').update(signed).digest('base64');
      given.set(signature, signed);
      return { signed, signature };
    },
    open: (text, key) =>
      key === publicKey && given.get(text.signature) === text.signed ? JSON.parse(text.signed) : undefined,
  };
}
