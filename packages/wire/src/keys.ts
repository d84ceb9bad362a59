import {
  createCipheriv,
  createDecipheriv,
  createPrivateKey,
  createPublicKey,
  diffieHellman,
  generateKeyPairSync,
  hash,
  hkdfSync,
  type KeyObject,
  randomBytes,
  sign,
  verify,
} from 'node:crypto';
import { canonical } from '@fillwright/core/fleet';
import { type HandoverStatement, handoverStatement, oldKeyEnds, type SignedHandover } from './handover.ts';
import type { SignedText } from './messages.ts';

/** Keys and seals, on Node's own crypto. Keys travel as base64 of their DER form. */

export interface KeyPair {
  readonly publicKey: string;
  readonly privateKey: string;
}

const der = (key: KeyObject): string =>
  (key.type === 'public'
    ? key.export({ type: 'spki', format: 'der' })
    : key.export({ type: 'pkcs8', format: 'der' })
  ).toString('base64');
const pair = ({ publicKey, privateKey }: { publicKey: KeyObject; privateKey: KeyObject }): KeyPair => ({
  publicKey: der(publicKey),
  privateKey: der(privateKey),
});
export const newSigningKeys = (): KeyPair => pair(generateKeyPairSync('ed25519'));
export const newSealingKeys = (): KeyPair => pair(generateKeyPairSync('x25519'));

const MOST_READ = 64;
/** Reading a key costs more than signing with it, and a program uses the same few again and again. */
function readOnce(read: (key: string) => KeyObject): (key: string) => KeyObject {
  const known = new Map<string, KeyObject>();
  return (key) => {
    let found = known.get(key);
    if (found) return found;
    found = read(key);
    // Whoever sends ever new ones only pushes others out.
    if (known.size >= MOST_READ) known.clear();
    known.set(key, found);
    return found;
  };
}
const readPublic = (key: string) => createPublicKey({ key: Buffer.from(key, 'base64'), type: 'spki', format: 'der' });
const publicOf = readOnce(readPublic);
const privateOf = readOnce((key) =>
  createPrivateKey({ key: Buffer.from(key, 'base64'), type: 'pkcs8', format: 'der' }),
);

/** Whether a text is a key that this program can check signatures with. */
export function isPublicKey(key: string): boolean {
  try {
    return publicOf(key).asymmetricKeyType === 'ed25519';
  } catch {
    return false;
  }
}

export const sha256Hex = (text: string): string => hash('sha256', text, 'hex');
export const digestOf = (value: unknown): string => sha256Hex(canonical(value));

/** Signs the canonical JSON of a value (Ed25519, RFC 8032). */
export function signValue(value: unknown, privateKey: string): SignedText {
  const signed = canonical(value);
  return { signed, signature: sign(null, Buffer.from(signed, 'utf8'), privateOf(privateKey)).toString('base64') };
}

/** The value inside, or undefined where the signature does not hold or the text is not JSON. */
export function openSigned(message: SignedText, publicKey: string): unknown {
  const good = verify(
    null,
    Buffer.from(message.signed, 'utf8'),
    publicOf(publicKey),
    Buffer.from(message.signature, 'base64'),
  );
  if (!good) return undefined;
  try {
    return JSON.parse(message.signed);
  } catch {
    return undefined;
  }
}

/** A statement that gives the office's key on, signed with the key that was and the key that comes. */
export function signHandover(
  statement: Omit<HandoverStatement, 'form' | 'from' | 'to'>,
  old: KeyPair,
  next: KeyPair,
): SignedHandover {
  const value: HandoverStatement = {
    form: 'fillwright-office-key',
    ...statement,
    from: old.publicKey,
    to: next.publicKey,
  };
  const { signed, signature } = signValue(value, old.privateKey);
  return { signed, byOld: signature, byNew: signValue(value, next.privateKey).signature };
}

/** What a statement says, or undefined where not both of the keys that it names have signed it. */
export function openHandover({ signed, byOld, byNew }: SignedHandover): HandoverStatement | undefined {
  try {
    const claimed = handoverStatement.safeParse(JSON.parse(signed));
    if (!claimed.success) return undefined;
    const good = (signature: string, key: string) => openSigned({ signed, signature }, key) !== undefined;
    return good(byOld, claimed.data.from) && good(byNew, claimed.data.to) ? claimed.data : undefined;
  } catch {
    return undefined;
  }
}

/** Whether a text says, by the key of that version, that the key before it ends. */
export function saysOldKeyEnds(text: SignedText, version: number, publicKey: string): boolean {
  try {
    const read = oldKeyEnds.safeParse(openSigned(text, publicKey));
    return read.success && read.data.version === version;
  } catch {
    return false;
  }
}

/** A key as people compare it aloud: the first 20 hex digits of its SHA-256, in fours. */
export const fingerprintOf = (publicKey: string): string =>
  (sha256Hex(publicKey).slice(0, 20).match(/.{4}/g) ?? []).join(' ');

/** Seals text to a box's X25519 key: ephemeral key, HKDF-SHA-256, AES-256-GCM (the construction of RFC 9180 in spirit, not its format). */
export function seal(text: string, toPublicKey: string): string {
  const ephemeral = generateKeyPairSync('x25519');
  const from = der(ephemeral.publicKey);
  const key = sharedKey(ephemeral.privateKey, publicOf(toPublicKey), from);
  const iv = randomBytes(12);
  const cipher = createCipheriv('aes-256-gcm', key, iv);
  const body = Buffer.concat([cipher.update(text, 'utf8'), cipher.final()]);
  return [from, iv.toString('base64'), cipher.getAuthTag().toString('base64'), body.toString('base64')].join('.');
}

/** Opens what `seal` made; undefined where it was not meant for this key or was changed. */
export function unseal(sealed: string, privateKey: string): string | undefined {
  const [from, iv, tag, body] = sealed.split('.');
  if (!from || !iv || !tag || body === undefined) return undefined;
  try {
    const decipher = createDecipheriv(
      'aes-256-gcm',
      sharedKey(privateOf(privateKey), readPublic(from), from),
      Buffer.from(iv, 'base64'),
    );
    decipher.setAuthTag(Buffer.from(tag, 'base64'));
    return Buffer.concat([decipher.update(Buffer.from(body, 'base64')), decipher.final()]).toString('utf8');
  } catch {
    return undefined;
  }
}

function sharedKey(mine: KeyObject, theirs: KeyObject, salt: string): Buffer {
  const secret = diffieHellman({ privateKey: mine, publicKey: theirs });
  return Buffer.from(hkdfSync('sha256', secret, Buffer.from(salt, 'base64'), 'fillwright seal 1', 32));
}
