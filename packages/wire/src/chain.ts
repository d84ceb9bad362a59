import { createHash } from 'node:crypto';

/**
 * The hash of a journal entry as hex: SHA-256 (FIPS 180-4) of the previous hash (32 bytes), the number and the instant (8 bytes each, big-endian) and
 * the UTF-8 of the text. The journal on a box makes it; the office makes it again. `previous`: 64 hex digits.
 */
export function chainHash(previous: string, seq: number, atMs: number, text: string): string {
  const head = Buffer.allocUnsafe(16);
  head.writeBigInt64BE(BigInt(seq), 0);
  head.writeBigInt64BE(BigInt(atMs), 8);
  return createHash('sha256').update(Buffer.from(previous, 'hex')).update(head).update(text, 'utf8').digest('hex');
}
