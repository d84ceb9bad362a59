import { createHash, hash } from 'node:crypto';

/**
 * The hash chain: every entry's hash covers the one before it, so that a changed, missing or swapped entry shows.
 * SHA-256 (FIPS 180-4) over fixed-width big-endian fields, so that no two different entries have the same bytes to hash.
 */

/** The hash before entry 1. It binds the chain to one box and one life of it: entries cannot be carried over from another. */
export function genesisHash(box: string, epoch: string): Buffer {
  return sealOf('journal 1', box, epoch);
}

/** SHA-256 of previous hash (32 bytes), seq (8), instant in ms (8) and payload. */
export function entryHash(previous: Uint8Array, seq: number, atMs: number, payload: Uint8Array): Buffer {
  const all = Buffer.allocUnsafe(48 + payload.length);
  all.set(previous, 0);
  all.writeBigInt64BE(BigInt(seq), 32);
  all.writeBigInt64BE(BigInt(atMs), 40);
  all.set(payload, 48);
  return hash('sha256', all, 'buffer');
}

/** SHA-256 of a list of fields, each with its length before it; for the rows that stand outside the chain. */
export function sealOf(...fields: readonly (string | number | Uint8Array)[]): Buffer {
  const seal = createHash('sha256');
  const length = Buffer.allocUnsafe(4);
  for (const field of fields) {
    const bytes = field instanceof Uint8Array ? field : Buffer.from(String(field), 'utf8');
    length.writeUInt32BE(bytes.length, 0);
    seal.update(length).update(bytes);
  }
  return seal.digest();
}
