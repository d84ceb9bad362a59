import { newSigningKeys, signValue } from '@fillwright/wire/keys';
import { afterEach, describe, expect, test } from 'vitest';
import { bundleOf } from './practice.ts';
import { FLEET } from './testing/office.ts';
import { type Rig, rig } from './testing/rig.ts';
import { SITE, world } from './testing/world.ts';

/**
 * The attacks on delivery that The Update Framework's specification (section 1.5.2) and the Uptane standard (its threat analysis) name, each by
 * its name there, tried on a box by somebody who holds the broker. Whatever comes, the box goes on with what it has.
 */

let r: Rig;
afterEach(() => r.end());

const richer = () => world((put) => put('allowances', { id: 'daily', perFill: 20 * 3_785_412 }));
const of = (revision: number) =>
  bundleOf(richer(), { fleet: FLEET, site: SITE, revision, parent: 5, now: r.clock.now() });
const signed = (value: object, key = r.office.keys.privateKey) => signValue(value, key);
const notice = (revision: number, at: number, key = r.office.keys.privateKey) => {
  const wanted = { revision, digest: '', bytes: 1 };
  return { ...wanted, notice: signValue({ fleet: FLEET, site: SITE, ...wanted, at }, key) };
};

async function running(change: Parameters<Rig['boot']>[0] = {}): Promise<void> {
  r = await rig();
  r.office.offer(r.office.bundle(world(), 5));
  await r.boot(change);
  await r.until('a running release', () => r.site.view().running === 5);
}

/** The box has refused, runs what it ran, and takes the office's next release all the same. */
async function holds(cause: RegExp): Promise<void> {
  await r.both('a refusal', () => r.site.view().refused !== null);
  expect(r.site.view().refused?.cause).toMatch(cause);
  expect(r.site.view().running).toBe(5);
  await takesTheNext();
}
async function takesTheNext(revision = 7): Promise<void> {
  r.office.offer(signed(of(revision)));
  await r.both('the next release', () => r.site.view().running === revision);
}

describe('attacks on delivery', () => {
  test('arbitrary software: a bundle that the office did not sign', async () => {
    await running();
    r.office.say('bundle', signed(of(6), newSigningKeys().privateKey));
    await holds(/signature/);
  });

  test('rollback: an older bundle that the office did sign', async () => {
    await running();
    r.office.say('bundle', signed(of(4)));
    r.office.say('bundle', signed(of(5)));
    await takesTheNext();
    await r.both('its entry', () => r.journal().some((e) => e.kind === 'revision' && e.to === 7));
    expect(r.journal().every((e) => e.kind !== 'revision' || e.to === 7)).toBe(true);
  });

  test('fast-forward: a number so high that no later release would be taken', async () => {
    await running();
    r.office.say('wanted', { revision: 2_000_000_000, digest: '', bytes: 1 }, true);
    await r.both('it asks', () => r.office.fetched.includes(2_000_000_000));
    r.office.say('bundle', signed(of(2_000_000_000), newSigningKeys().privateKey));
    await holds(/signature/);
  });

  test('indefinite freeze: old notices are played again, and the box says that it hears no fresh one', async () => {
    await running({ frozenAfterMs: 30 * 60_000 });
    const old = notice(5, r.clock.now());
    r.office.say('wanted', old, true);
    await r.until('the notice is taken', () => r.office.states.at(-1)?.frozen === false);
    for (let i = 0; i < 4; i++) {
      await r.run(10 * 60_000);
      r.office.sayTime(r.clock.now());
      r.office.say('wanted', old, true);
    }
    r.office.sayTime(r.clock.now());
    await r.both('its word', () => r.office.states.at(-1)?.frozen === true);
    // One that the office did not sign is not fresh, and one that is older than the last tells nothing.
    r.office.say('wanted', notice(9, r.clock.now(), newSigningKeys().privateKey), true);
    r.office.say('wanted', notice(5, r.clock.now()), true);
    await r.both('all is well again', () => r.office.states.at(-1)?.frozen === false);
    const asked = r.office.fetched.length;
    r.office.say('wanted', notice(8, r.clock.now() - 3_600_000), true);
    await takesTheNext();
    expect([...new Set(r.office.fetched.slice(asked))]).toEqual([7]);
    expect(r.office.fetched).not.toContain(9);
  });

  test('mix-and-match: the content of one release under the digest of another', async () => {
    await running();
    r.office.say('bundle', signed({ ...of(6), content: r.office.bundle(world(), 6) }));
    await holds(/digest/);
  });

  test('wrong software: a bundle for another site, and one for another fleet', async () => {
    await running();
    r.office.say('bundle', signed({ ...of(6), fleet: 'another' }));
    await holds(/another site/);
    r.office.say('bundle', signed({ ...of(8), site: 'elsewhere' }));
    await r.both('a refusal', () => r.site.view().refused?.revision === 8);
    expect(r.site.view().running).toBe(7);
  });

  test('endless data: more than a bundle may have is neither asked for nor read', async () => {
    await running();
    const asked = r.office.fetched.length;
    r.office.say('wanted', { revision: 6, digest: '', bytes: 65 * 1024 * 1024 }, true);
    r.office.say('stop', { signed: 'x'.repeat(2_000_000), signature: '' });
    await takesTheNext();
    expect([...new Set(r.office.fetched.slice(asked))]).toEqual([7]);
  });

  test('extraneous dependencies: a bundle that carries more than a bundle has', async () => {
    await running();
    r.office.say('bundle', signed({ ...of(6), also: { program: 'rm' } }));
    await holds(/form/);
  });

  test('slow retrieval: a bundle that does not come is asked for again, later each time, and the yard goes on', async () => {
    await running();
    const asked = r.office.fetched.length;
    r.office.say('wanted', { revision: 6, digest: '', bytes: 1 }, true);
    await r.both('three times', () => r.office.fetched.length - asked >= 3);
    expect(r.site.view().running).toBe(5);
    await takesTheNext();
  });

  test('key compromise: another key than that of the office joined signs nothing here, whatever it says of itself', async () => {
    await running();
    const thief = newSigningKeys();
    r.office.say('stop', signed({ id: 's', site: SITE, at: 1, numbers: ['70011'], reason: '' }, thief.privateKey));
    r.office.say('bundle', signed({ ...of(6), officeKey: thief.publicKey }, thief.privateKey));
    await holds(/signature/);
    expect(r.journal().some((e) => e.kind === 'cardStopped')).toBe(false);
  });

  test('drop request: what is asked for and lost on the way is asked for again when the line is back', async () => {
    await running();
    const text = signed(of(6));
    await r.office.away();
    await r.until('no link', () => r.site.view().link === 'down');
    await r.office.back();
    r.office.offer(text);
    await r.both('the release', () => r.site.view().running === 6);
  });

  test('partial and mixed bundles: cut short, or half of one and half of another', async () => {
    await running();
    const a = signed(of(6));
    const b = signed({ ...of(6), issuedAt: 1 });
    r.office.say('bundle', { ...a, signed: a.signed.slice(0, -200) });
    const half = Math.floor(a.signed.length / 2);
    r.office.say('bundle', { ...a, signed: a.signed.slice(0, half) + b.signed.slice(half) });
    r.office.say('bundle', { ...a, signature: b.signature });
    await holds(/signature/);
  });
});
