import { createCipheriv, createDecipheriv, randomBytes } from 'node:crypto';
import {
  closeSync,
  existsSync,
  fsyncSync,
  openSync,
  readFileSync,
  renameSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { join } from 'node:path';
import { type KeysMessage, type SignedText, signedHandover, signedText } from '@fillwright/wire';
import { type KeyPair, newSigningKeys, openHandover, openSigned, signHandover, signValue } from '@fillwright/wire/keys';
import { z } from 'zod';

/** What the office keeps outside its database: whoever reads the database alone can neither sign for it nor read a PIN. */
export interface OfficeKeys {
  /** What the office signs with: until a handover is through, the old key. */
  readonly signing: KeyPair;
  /** How often the key was given on; a key that came because the one before was lost counts as well. */
  readonly version: number;
  /** When the key before gave it on; undefined for one that none gave on. */
  readonly since: number | undefined;
  /** The handover that goes on. */
  readonly next:
    | { readonly version: number; readonly publicKey: string; readonly since: number; readonly until: number }
    | undefined;
  /** What boxes are told; undefined where no key was ever given on. */
  readonly told: KeysMessage | undefined;
  /** Makes the next key and its statement; false while a handover goes on. */
  handOver(at: number, until: number): boolean;
  /** From now on the office signs with the next key, and says that the old one ends; false where no handover goes on. */
  finish(): boolean;
  /** A text that this office once signed, signed with the key of today. */
  afresh<T extends SignedText>(text: T): T;
  hide(text: string): string;
  /** @throws Error where it was hidden with another key. */
  show(hidden: string): string;
}

/** Every key there was, in order. `statement` is null for one that the key before it did not give on. */
const history = z.strictObject({
  keys: z.array(z.strictObject({ key: z.string(), statement: signedHandover.nullable() })).min(1),
  ends: signedText.nullable(),
});
type History = z.infer<typeof history>;

export function openKeys(folder: string): OfficeKeys {
  const path = {
    now: join(folder, 'office.key'),
    next: join(folder, 'office.key.next'),
    past: join(folder, 'office-keys.json'),
  };
  let signing = JSON.parse(kept(path.now, () => JSON.stringify(newSigningKeys()))) as KeyPair;
  let past = pastOf(path.past, signing.publicKey);
  const pins = Buffer.from(
    kept(join(folder, 'pins.key'), () => randomBytes(32).toString('base64')),
    'base64',
  );
  const last = () => past.keys.at(-1) as History['keys'][number];
  const goesOn = () => last().key !== signing.publicKey;

  return {
    get signing() {
      return signing;
    },
    get version() {
      return past.keys.length - (goesOn() ? 2 : 1);
    },
    get since() {
      const statement = past.keys.findLast((k) => k.key === signing.publicKey)?.statement;
      return statement ? openHandover(statement)?.at : undefined;
    },
    get next() {
      const { key, statement } = last();
      const said = goesOn() && statement ? openHandover(statement) : undefined;
      return said && { version: said.version, publicKey: key, since: said.at, until: said.oldUntil };
    },
    get told() {
      // A box whose key was set by hand after a loss follows from there.
      const from = past.keys.findLastIndex((k) => k.statement === null);
      const handovers = past.keys.slice(from + 1).flatMap((k) => (k.statement ? [k.statement] : []));
      return handovers.length === 0 ? undefined : { handovers, ends: goesOn() ? null : past.ends };
    },
    handOver(at, until) {
      if (goesOn()) return false;
      const next = newSigningKeys();
      const version = past.keys.length;
      const statement = signHandover({ version, at, oldUntil: until }, signing, next);
      // The key first: a statement for a key that nobody holds would lock every box out.
      writeWhole(path.next, JSON.stringify(next));
      past = { keys: [...past.keys, { key: next.publicKey, statement }], ends: null };
      writeWhole(path.past, JSON.stringify(past));
      return true;
    },
    finish() {
      if (!goesOn()) return false;
      const next = JSON.parse(readFileSync(path.next, 'utf8')) as KeyPair;
      if (next.publicKey !== last().key) throw new Error('the next key is not the one that was given on');
      const value = { form: 'fillwright-old-key-ends', version: past.keys.length - 1 };
      past = { ...past, ends: signValue(value, next.privateKey) };
      writeWhole(path.past, JSON.stringify(past));
      renameSync(path.next, path.now);
      signing = next;
      return true;
    },
    afresh(text) {
      if (past.keys.length === 1 || opens(text, signing.publicKey)) return text;
      if (!past.keys.some((k) => opens(text, k.key))) return text;
      const { signature } = signValue(JSON.parse(text.signed), signing.privateKey);
      return { ...text, signature };
    },
    hide(text) {
      const iv = randomBytes(12);
      const cipher = createCipheriv('aes-256-gcm', pins, iv);
      const body = Buffer.concat([cipher.update(text, 'utf8'), cipher.final()]);
      return [iv, cipher.getAuthTag(), body].map((part) => part.toString('base64')).join('.');
    },
    show(hidden) {
      const [iv, tag, body] = hidden.split('.').map((part) => Buffer.from(part, 'base64'));
      if (!iv || !tag || !body) throw new Error('a hidden PIN has three parts');
      const decipher = createDecipheriv('aes-256-gcm', pins, iv);
      decipher.setAuthTag(tag);
      return Buffer.concat([decipher.update(body), decipher.final()]).toString('utf8');
    },
  };
}

/** A key that the file does not end in, nor the one before it in a handover, is one that came after a loss. */
function pastOf(path: string, signing: string): History {
  const none: History = { keys: [{ key: signing, statement: null }], ends: null };
  if (!existsSync(path)) return none;
  const read = history.parse(JSON.parse(readFileSync(path, 'utf8')));
  if (read.keys.slice(-2).some((k) => k.key === signing)) return read;
  const next: History = { keys: [...read.keys, { key: signing, statement: null }], ends: null };
  writeWhole(path, JSON.stringify(next));
  return next;
}

function opens(text: SignedText, key: string): boolean {
  try {
    return openSigned(text, key) !== undefined;
  } catch {
    return false;
  }
}

function kept(file: string, make: () => string): string {
  if (!existsSync(file)) writeFileSync(file, make(), { mode: 0o600, flag: 'wx', flush: true });
  return readFileSync(file, 'utf8').trim();
}

/** After a power cut the file is the old one or the new one. */
function writeWhole(path: string, text: string): void {
  const beside = `${path}.writing`;
  const file = openSync(beside, 'w', 0o600);
  try {
    writeSync(file, text);
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
  renameSync(beside, path);
}
