import type { KeysMessage, SignedHandover } from '@fillwright/wire';
import { type KeyPair, newSigningKeys, signHandover, signValue } from '@fillwright/wire/keys';
import { beforeEach, describe, expect, test } from 'vitest';
import { type OfficeTrust, openTrust } from './trust.ts';

/**
 * How a box follows its office's key, in the spirit of how The Update Framework replaces its root (specification, section 5.3): each new one is
 * signed by the one before and by itself, they are taken in the order of their numbers, and none is taken twice or backwards.
 */

const keys = Array.from({ length: 4 }, newSigningKeys) as [KeyPair, KeyPair, KeyPair, KeyPair];
const thief = newSigningKeys();
const DAY = 86_400_000;
const statement = (version: number, old: KeyPair, next: KeyPair): SignedHandover =>
  signHandover({ version, at: version * DAY, oldUntil: (version + 1) * DAY }, old, next);
const chain = [1, 2, 3].map((v) => statement(v, keys[v - 1] as KeyPair, keys[v] as KeyPair));
const told = (handovers: SignedHandover[], ends: KeysMessage['ends'] = null): KeysMessage => ({ handovers, ends });
const over = (version: number, by: KeyPair) => signValue({ form: 'fillwright-old-key-ends', version }, by.privateKey);
const word = (by: KeyPair) => signValue({ hello: 1 }, by.privateKey);

let disk: Map<string, string>;
let now: number;
let full: boolean;
const open = (given = { key: keys[0].publicKey, version: 0 }): OfficeTrust =>
  openTrust({
    given,
    get: (key) => disk.get(key),
    set: (key, value) => !full && !!disk.set(key, value),
    now: () => now,
  });
const goesBy = (trust: OfficeTrust) => keys.flatMap((k, i) => (trust.open(word(k)) === undefined ? [] : [i]));

beforeEach(() => {
  disk = new Map();
  now = DAY;
  full = false;
});

describe('a key that is given on', () => {
  test('is followed; the old one stays good until the office says that all have the new', () => {
    const trust = open();
    expect(goesBy(trust)).toEqual([0]);
    expect(trust.hear(told(chain.slice(0, 1)))).toBe('followed');
    expect(goesBy(trust)).toEqual([0, 1]);
    expect(trust.hear(told(chain.slice(0, 1), over(1, keys[1])))).toBe('followed');
    expect(goesBy(trust)).toEqual([1]);
    expect(trust.hear(told(chain.slice(0, 1), over(1, keys[1])))).toBe('known');
    // What lay here before is still good to run.
    expect(trust.openKept(word(keys[0]))).toEqual({ hello: 1 });
  });

  test('ends the old one by its date as well, and all of it outlives the power', () => {
    open().hear(told(chain.slice(0, 1)));
    expect(goesBy(open())).toEqual([0, 1]);
    now = 2 * DAY;
    expect(goesBy(open())).toEqual([1]);
  });

  test('is followed over several in their order by a box that was away', () => {
    const trust = open();
    expect(trust.hear(told(chain, over(3, keys[3])))).toBe('followed');
    expect(trust.version).toBe(3);
    expect(goesBy(trust)).toEqual([3]);
    for (const k of keys) expect(trust.openKept(word(k))).toEqual({ hello: 1 });
    expect(trust.openKept(word(thief))).toBeUndefined();
  });

  test('changes nothing where the disk does not keep it', () => {
    const trust = open();
    full = true;
    expect(trust.hear(told(chain))).toBe('refused');
    expect(goesBy(trust)).toEqual([0]);
  });
});

describe('refused is', () => {
  const cases: readonly (readonly [string, () => SignedHandover[]])[] = [
    ['a step that is left out', () => chain.slice(1)],
    ['another order', () => [...chain].reverse()],
    ['a statement by a key that is not this box’s own', () => [statement(1, thief, keys[1])]],
    [
      'a statement that only the old key signed',
      () => [{ ...chain[0], byNew: (chain[0] as SignedHandover).byOld } as SignedHandover],
    ],
    [
      'a statement that only the new key signed',
      () => [{ ...chain[0], byOld: (chain[0] as SignedHandover).byNew } as SignedHandover],
    ],
    [
      'a statement with another key put in',
      () => [
        {
          ...chain[0],
          signed: (chain[0] as SignedHandover).signed.replace(keys[1].publicKey, thief.publicKey),
        } as SignedHandover,
      ],
    ],
    ['a number far ahead', () => [statement(1_000_000, keys[0], keys[1])]],
    ['something that is no statement', () => [{ signed: '{}', byOld: '', byNew: '' }]],
    ['a good one with a bad one behind it', () => [chain[0] as SignedHandover, statement(2, thief, keys[2])]],
  ];
  test.each(cases)('%s', (_, make) => {
    const trust = open();
    expect(trust.hear(told(make()))).toBe('refused');
    expect([trust.version, goesBy(trust)]).toEqual([0, [0]]);
  });

  test('an older handover that is played again: the box stays where it is', () => {
    const trust = open();
    trust.hear(told(chain, over(3, keys[3])));
    for (const old of [chain.slice(0, 1), chain.slice(0, 2), chain]) expect(trust.hear(told(old))).toBe('known');
    expect([trust.version, goesBy(trust)]).toEqual([3, [3]]);
    // Nor does whoever has an ended key give it on once more.
    expect(trust.hear(told([statement(4, keys[2], thief)]))).toBe('refused');
    expect(trust.open(word(thief))).toBeUndefined();
  });

  test('an end of the old key that the new one did not sign, or of another handover', () => {
    const trust = open();
    trust.hear(told(chain.slice(0, 1)));
    for (const ends of [over(1, keys[0]), over(2, keys[1]), over(1, thief)]) trust.hear(told(chain.slice(0, 1), ends));
    expect(goesBy(trust)).toEqual([0, 1]);
  });
});

test('a key set by hand begins anew, and what lay here goes on running', () => {
  open().hear(told(chain.slice(0, 2)));
  const trust = open({ key: keys[3].publicKey, version: 7 });
  expect([trust.version, goesBy(trust)]).toEqual([7, [3]]);
  for (const k of keys.slice(1)) expect(trust.openKept(word(k))).toEqual({ hello: 1 });
  expect(trust.hear(told([statement(8, keys[3], keys[0])]))).toBe('followed');
  expect(goesBy(trust)).toEqual([0, 3]);
});
