import { randomBytes } from 'node:crypto';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import { joined } from '@fillwright/wire';
import { isPublicKey, type KeyPair, newSealingKeys, newSigningKeys } from '@fillwright/wire/keys';
import { z } from 'zod';
import { inFolder, openFolder, readWhole, writeWhole } from './files.ts';

/** Who this box is: its own name and keys, made here and never sent, and what the office answered when it joined. */
export interface Identity {
  readonly box: string;
  readonly sign: KeyPair;
  readonly seal: KeyPair;
  /** Keys the PIN verifiers; 32 bytes, base64. Without it a copied journal tells nothing about a PIN. */
  readonly pinSecret: string;
}

const pair = z.strictObject({ publicKey: z.string(), privateKey: z.string() });
const identityShape = z.strictObject({ box: z.string(), sign: pair, seal: pair, pinSecret: z.string() });
export type Membership = z.infer<typeof joined>;

const KEYS = 'box.keys';
const OFFICE = 'office.json';

/** Reads the box's keys, or makes them when the folder is new. */
export function identityIn(dataDir: string, randomId: () => string): Result<Identity, Problem> {
  const folder = openFolder(dataDir);
  if (!folder.ok) return folder;
  const path = inFolder(dataDir, KEYS);
  const kept = readJson(path, identityShape);
  if (!kept.ok) return kept;
  if (kept.value) return ok(kept.value);
  const identity: Identity = {
    box: randomId(),
    sign: newSigningKeys(),
    seal: newSealingKeys(),
    pinSecret: randomBytes(32).toString('base64'),
  };
  const written = writeWhole(path, JSON.stringify(identity));
  return written.ok ? ok(identity) : written;
}

/** What the office answered; undefined where this box has not joined. */
export const membershipIn = (dataDir: string): Result<Membership | undefined, Problem> =>
  readJson(inFolder(dataDir, OFFICE), joined);

export const keepMembership = (dataDir: string, membership: Membership): Result<void, Problem> =>
  writeWhole(inFolder(dataDir, OFFICE), JSON.stringify(membership));

const KEY_TEXT = /^(\d{1,9})\.([A-Za-z0-9+/]{40,190}={0,2})$/;

/** The office's key as people carry it: how often it was given on, a point, the key. */
export const keyText = (key: { readonly version: number; readonly publicKey: string }): string =>
  `${key.version}.${key.publicKey}`;

/**
 * Sets by hand whose word this box goes by, where the key before it was lost and cannot give the new one on: from its next start. What it runs it
 * goes on running. Errors: FW-421 the text, FW-903 the folder, FW-413 a folder of no box that has joined.
 */
export function trustOffice(dataDir: string, text: string): Result<{ was: string; is: string }, Problem> {
  const [, version, publicKey] = KEY_TEXT.exec(text.trim()) ?? [];
  if (version === undefined || publicKey === undefined || !isPublicKey(publicKey))
    return err(problem('FW-421', { found: text.slice(0, 80) }));
  const before = membershipIn(dataDir);
  if (!before.ok) return before;
  if (!before.value) return err(problem('FW-413', { at: { in: dataDir } }));
  const kept = keepMembership(dataDir, { ...before.value, officeKey: publicKey, officeKeyVersion: Number(version) });
  return kept.ok ? ok({ was: before.value.officeKey, is: publicKey }) : kept;
}

function readJson<T>(path: string, shape: z.ZodType<T>): Result<T | undefined, Problem> {
  try {
    const text = readWhole(path);
    return ok(text === undefined ? undefined : shape.parse(JSON.parse(text)));
  } catch (error) {
    return err(
      problem('FW-903', { cause: 'A file of this box cannot be read.', at: { in: path }, found: String(error) }),
    );
  }
}
