import { newSigningKeys, signHandover, signValue } from '@fillwright/wire/keys';
import { afterEach, expect, test } from 'vitest';
import { keyText, trustOffice } from './box/identity.ts';
import { type Rig, rig } from './testing/rig.ts';
import { CARD, SITE, world } from './testing/world.ts';

let r: Rig;
afterEach(() => r.end());

const next = newSigningKeys();
const statement = () =>
  signHandover({ version: 1, at: r.clock.now(), oldUntil: r.clock.now() + 3_600_000 }, r.office.keys, next);
const ends = () => signValue({ form: 'fillwright-old-key-ends', version: 1 }, next.privateKey);
const stop = (id: string, number: string, key: string) =>
  signValue({ id, site: SITE, at: r.clock.now(), numbers: [number], reason: 'lost' }, key);
const resigned = (revision: number) =>
  signValue(JSON.parse(r.office.bundle(world(), revision).signed), next.privateKey);

async function running(): Promise<void> {
  r = await rig();
  r.office.offer(r.office.bundle(world(), 5));
  await r.boot();
  await r.until('a running release', () => r.site.view().running === 5);
}
const took = (id: string) => r.office.got.some((g) => (g as { id?: string }).id === id);

test('a box follows its office to a new key, confirms it, and takes the old one no more once that has ended', async () => {
  await running();
  r.office.say('keys', { handovers: [statement()], ends: null }, true);
  await r.until('its word', () => r.office.got.some((g) => (g as { version?: number }).version === 1));
  // Meanwhile both count.
  r.office.say('stop', stop('s1', CARD.ada, r.office.keys.privateKey));
  await r.until('the stop by the old key', () => took('s1'));
  r.office.offer(resigned(6));
  await r.both('a release by the new key', () => r.site.view().running === 6);

  const handover = statement();
  r.office.say('keys', { handovers: [handover], ends: ends() }, true);
  r.office.say('stop', stop('s2', '4711', r.office.keys.privateKey));
  r.office.say('stop', stop('s3', '4712', next.privateKey));
  await r.until('the stop by the new key', () => took('s3'));
  expect(took('s2')).toBe(false);
  r.office.say('bundle', r.office.bundle(world(), 7));
  await r.both('a refusal', () => r.site.view().refused?.revision === 7);
  expect(r.site.view().refused?.cause).toMatch(/signature/);

  // What it runs was signed by the new key, what it has beside it by the old: both still stand after a restart.
  await r.site.stop();
  await r.boot();
  await r.until('the same release', () => r.site.view().running === 6);
});

test('a box whose office lost its key goes by the new one that a person sets, and runs on meanwhile', async () => {
  await running();
  const stopped = r.site.stop();
  await r.run(1_000);
  await stopped;
  expect(trustOffice(r.dir, 'nonsense')).toMatchObject({ ok: false, error: { code: 'FW-421' } });
  expect(keyText({ version: 3, publicKey: next.publicKey })).toMatch(/^3\.MCow/);
  expect(trustOffice(r.dir, keyText({ version: 3, publicKey: next.publicKey })).ok).toBe(true);
  await r.boot();
  await r.until('what it ran', () => r.site.view().running === 5);
  r.office.say('stop', stop('old', CARD.ada, r.office.keys.privateKey));
  r.office.say('stop', stop('new', CARD.ada, next.privateKey));
  await r.until('the stop by the new key', () => took('new'));
  expect(took('old')).toBe(false);
});
