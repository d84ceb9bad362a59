import { createHmac, randomBytes, scrypt, timingSafeEqual } from 'node:crypto';

/**
 * What the box keeps of a PIN: HMAC-SHA-256 (RFC 2104) under a secret that only this box holds, stretched by scrypt (RFC 7914) with a
 * salt of its own. The PIN space is small, so it is the secret that protects it; the stretching slows whoever has both.
 */
const COST = { N: 16_384, r: 8, p: 1 } as const;

export async function makeVerifier(
  secret: string,
  driver: string,
  pin: string,
  salt = randomBytes(16),
): Promise<string> {
  return `${salt.toString('base64')}.${(await derive(secret, driver, pin, salt)).toString('base64')}`;
}

export async function matches(verifier: string, secret: string, driver: string, pin: string): Promise<boolean> {
  const [salt, kept] = verifier.split('.');
  if (!salt || !kept) return false;
  const found = await derive(secret, driver, pin, Buffer.from(salt, 'base64'));
  const expected = Buffer.from(kept, 'base64');
  return expected.length === found.length && timingSafeEqual(expected, found);
}

function derive(secret: string, driver: string, pin: string, salt: Buffer): Promise<Buffer> {
  const keyed = createHmac('sha256', Buffer.from(secret, 'base64')).update(`${driver.length}:${driver}${pin}`).digest();
  return new Promise((resolve, reject) =>
    scrypt(keyed, salt, 32, COST, (error, key) => (error ? reject(error) : resolve(key))),
  );
}

/** How a PIN is kept and compared; a simulation of many days leaves the stretching out. */
export interface Verifying {
  make(secret: string, driver: string, pin: string): Promise<string>;
  matches(verifier: string, secret: string, driver: string, pin: string): Promise<boolean>;
}
export const stretched: Verifying = { make: makeVerifier, matches };
