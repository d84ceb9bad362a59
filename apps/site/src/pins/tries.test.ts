import { randomBytes } from 'node:crypto';
import { expect, test } from 'vitest';
import { afterWrong, attempted, noTries, type Tries } from './tries.ts';
import { makeVerifier, matches } from './verifier.ts';

const rule = { tries: 3, lockMin: 30 };
const MIN = 60_000;

test('the third wrong PIN locks for half an hour, and tries within it neither count nor prolong it', () => {
  let tries: Tries = noTries;
  tries = attempted(tries, 0, rule);
  expect(afterWrong(tries, rule)).toBe('wrong');
  tries = attempted(tries, 1 * MIN, rule);
  tries = attempted(tries, 2 * MIN, rule);
  expect(tries.locked).toBe(false);
  expect(afterWrong(tries, rule)).toBe('locked');
  tries = attempted(tries, 20 * MIN, rule);
  expect(tries.locked).toBe(true);
  tries = attempted(tries, 32 * MIN, rule);
  expect(tries).toEqual({ wrong: 1, at: 32 * MIN, locked: false });
});

test('a clock that goes back does not open a lock', () => {
  const full: Tries = { wrong: 3, at: 100 * MIN, locked: false };
  expect(attempted(full, 1 * MIN, rule).locked).toBe(true);
});

test('a verifier knows its PIN, and no other box, driver or PIN', async () => {
  const secret = randomBytes(32).toString('base64');
  const verifier = await makeVerifier(secret, 'd1', '2468');
  expect(verifier).not.toContain('2468');
  expect(await matches(verifier, secret, 'd1', '2468')).toBe(true);
  expect(await matches(verifier, secret, 'd1', '2469')).toBe(false);
  expect(await matches(verifier, secret, 'd2', '2468')).toBe(false);
  expect(await matches(verifier, randomBytes(32).toString('base64'), 'd1', '2468')).toBe(false);
  expect(await matches('nonsense', secret, 'd1', '2468')).toBe(false);
});
