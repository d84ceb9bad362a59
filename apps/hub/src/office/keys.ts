import { createCipheriv, createDecipheriv, randomBytes } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { type KeyPair, newSigningKeys } from '@fillwright/wire/keys';

/** What the office keeps outside its database: whoever reads the database alone can neither sign for it nor read a PIN. */
export interface OfficeKeys {
  readonly signing: KeyPair;
  hide(text: string): string;
  /** @throws Error where it was hidden with another key. */
  show(hidden: string): string;
}

export function openKeys(folder: string): OfficeKeys {
  const signing = JSON.parse(kept(join(folder, 'office.key'), () => JSON.stringify(newSigningKeys()))) as KeyPair;
  const key = Buffer.from(
    kept(join(folder, 'pins.key'), () => randomBytes(32).toString('base64')),
    'base64',
  );
  return {
    signing,
    hide(text) {
      const iv = randomBytes(12);
      const cipher = createCipheriv('aes-256-gcm', key, iv);
      const body = Buffer.concat([cipher.update(text, 'utf8'), cipher.final()]);
      return [iv, cipher.getAuthTag(), body].map((part) => part.toString('base64')).join('.');
    },
    show(hidden) {
      const [iv, tag, body] = hidden.split('.').map((part) => Buffer.from(part, 'base64'));
      if (!iv || !tag || !body) throw new Error('a hidden PIN has three parts');
      const decipher = createDecipheriv('aes-256-gcm', key, iv);
      decipher.setAuthTag(tag);
      return Buffer.concat([decipher.update(body), decipher.final()]).toString('utf8');
    },
  };
}

function kept(file: string, make: () => string): string {
  if (!existsSync(file)) writeFileSync(file, make(), { mode: 0o600, flag: 'wx', flush: true });
  return readFileSync(file, 'utf8').trim();
}
