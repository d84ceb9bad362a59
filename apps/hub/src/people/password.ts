import { hash, verify } from '@node-rs/argon2';

// Argon2id with 19 MiB and two passes: the least that OWASP's Password Storage Cheat Sheet names.
const COST = { memoryCost: 19_456, timeCost: 2, parallelism: 1 };
export const LEAST_PASSWORD = 10;

export const hashPassword = (password: string): Promise<string> => hash(password, COST);

let nobody: Promise<string> | undefined;

/** Whether it is the password; a missing hash takes as long as a wrong password, so that nobody learns which accounts exist. */
export async function isPassword(hashed: string | undefined, password: string): Promise<boolean> {
  nobody ??= hashPassword('no account has this');
  const right = await verify(hashed ?? (await nobody), password);
  return hashed !== undefined && right;
}
