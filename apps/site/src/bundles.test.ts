import { newSigningKeys, signValue } from '@fillwright/wire/keys';
import { afterEach, expect, test } from 'vitest';
import { bundleOf } from './practice.ts';
import { FLEET } from './testing/office.ts';
import { armed, draw, hoseState, type Rig, rig } from './testing/rig.ts';
import { CARD, SITE, world } from './testing/world.ts';

let r: Rig;
afterEach(() => r.end());

async function running(revision = 5): Promise<void> {
  r = await rig();
  r.office.offer(r.office.bundle(world(), revision));
  await r.boot();
  await r.until('a running release', () => r.site.view().running === revision);
  await r.flow('a free hose', () => hoseState(r, 'h1') === 'idle');
}

const richer = () => world((put) => put('allowances', { id: 'daily', perFill: 20 * 3_785_412 }));

test('a newer bundle is fetched and runs; the office hears of it', async () => {
  await running();
  r.office.offer(r.office.bundle(richer(), 6));
  await r.until('the new release', () => r.site.view().running === 6);
  await r.until('its entry', () => r.journal().some((e) => e.kind === 'revision' && e.from === 5 && e.to === 6));
  await r.until('its report', () => r.office.states.at(-1)?.running === 6);
});

test.each([
  [
    'another signature',
    () =>
      signValue(
        { ...bundleOf(richer(), { fleet: FLEET, site: SITE, revision: 6, parent: 5, now: r.clock.now() }) },
        newSigningKeys().privateKey,
      ),
    'FW-306',
    /signature/,
  ],
  ['another site', () => r.office.bundle(richer(), 6, { site: 'elsewhere' }), 'FW-306', /another site/],
  [
    'another content than its digest',
    () =>
      r.office.bundle(world(), 6, {
        content: bundleOf(richer(), { fleet: FLEET, site: SITE, revision: 6, parent: 5, now: 0 }).content,
      }),
    'FW-306',
    /digest/,
  ],
  ['another form', () => r.office.bundle(richer(), 6, { format: 2 }), 'FW-306', /form/],
] as const)('a bundle with %s is refused, and what ran goes on', async (_, make, code, cause) => {
  await running();
  r.office.offer(make());
  await r.until('a refusal', () => r.site.view().refused !== null);
  expect(r.site.view().refused).toMatchObject({ revision: 6, code });
  expect(r.site.view().refused?.cause).toMatch(cause);
  expect(r.site.view().running).toBe(5);
  await r.run(1_000);
  await r.until('its report', () => r.office.states.at(-1)?.refused?.code === code);
  await armed(r, CARD.ada);
  expect(r.screen()).toBe('authorised');
});

test('a bundle under which this box decides otherwise is refused', async () => {
  await running();
  const good = bundleOf(richer(), { fleet: FLEET, site: SITE, revision: 6, parent: 5, now: r.clock.now() });
  const { digestOf } = await import('@fillwright/wire/keys');
  const proof = good.proof.map((p, i) => (i === 1 && p.limit !== null ? { ...p, limit: p.limit + 1 } : p));
  r.office.offer(
    signValue({ ...good, proof, digests: { ...good.digests, proof: digestOf(proof) } }, r.office.keys.privateKey),
  );
  await r.until('a refusal', () => r.site.view().refused !== null);
  expect(r.site.view().refused).toMatchObject({ revision: 6, code: 'FW-307' });
  expect(r.site.view().running).toBe(5);
});

test('an older bundle is never taken, whoever sends it', async () => {
  await running();
  r.office.say('bundle', r.office.bundle(richer(), 4));
  r.office.say('bundle', r.office.bundle(richer(), 5));
  // What comes after them is taken: they have been looked at by then.
  r.office.offer(r.office.bundle(richer(), 6));
  await r.until('the newer release', () => r.site.view().running === 6);
  expect(r.journal().every((e) => e.kind !== 'revision' || e.to === 6)).toBe(true);
});

test('a new bundle waits while a hose is busy, and runs when the yard is quiet', async () => {
  await running();
  await armed(r, CARD.ada);
  r.yard.lift('h1');
  await r.flow('an idle terminal', () => r.screen() === 'idle');
  r.office.offer(r.office.bundle(richer(), 6));
  await r.until('a waiting release', () => r.site.view().waiting === 6);
  expect(r.site.view().running).toBe(5);
  await draw(r, 'h1', 3);
  // Somebody reads what was filled.
  await r.flow('the new release', () => r.site.view().running === 6);
  expect(r.site.view().waiting).toBeNull();
});

test('a bundle that waits when the box is stopped runs when it starts, also without the office', async () => {
  await running();
  await armed(r, CARD.ada);
  r.yard.lift('h1');
  await r.run(500);
  r.office.offer(r.office.bundle(richer(), 6));
  await r.until('a waiting release', () => r.site.view().waiting === 6);
  const stopping = r.site.stop();
  await r.run(8_000);
  await stopping;
  await r.office.away();
  await r.boot();
  await r.run(1_000);
  expect(r.site.view().running).toBe(6);
});

test('a bundle under which the box falls over again and again is left for the last good one, for good', async () => {
  await running();
  await r.flow('the first is confirmed', () => r.clock.now() > 0);
  await r.run(11 * 60_000);
  r.office.acks = false;
  r.office.offer(r.office.bundle(richer(), 6));
  await r.until('the new release', () => r.site.view().running === 6);
  for (let i = 0; i < 3; i++) {
    await r.site.stop();
    await r.boot();
  }
  expect(r.site.view().running).toBe(5);
  expect(r.site.view().refused).toMatchObject({ revision: 6, code: 'FW-306' });
  await r.flow('a free hose', () => hoseState(r, 'h1') === 'idle');
  await r.until('a link', () => r.site.view().link === 'up');
  expect(r.site.view().running).toBe(5);
});

test('a bundle whose plumbing differs gets a yard of its own', async () => {
  await running();
  const before = r.yard;
  const more = world((put) =>
    put('hoses', { id: 'h3', site: SITE, number: 3, island: 'i1', pump: 'p1', terminals: ['term'], product: 'diesel' }),
  );
  r.office.offer(r.office.bundle(more, 6));
  await r.until('the new release', () => r.site.view().running === 6);
  await r.flow('the third hose', () => hoseState(r, 'h3') === 'idle');
  expect(r.yard).not.toBe(before);
  await armed(r, CARD.ada, '3');
  expect(r.screen()).toBe('authorised');
});

test('past its date a bundle is stale, never open', async () => {
  r = await rig();
  r.office.offer(r.office.bundle(world(), 1, { expiresAt: r.clock.now() + 60_000 }));
  await r.boot();
  await r.until('a running release', () => r.site.view().running === 1);
  await r.run(120_000);
  expect(r.site.view().stale).toBe(true);
  r.yard.present('term', '99999');
  await r.flow('a refusal', () => r.screen() === 'refused');
  await r.flow('an idle terminal', () => r.screen() === 'idle');
  await armed(r, CARD.ada);
  expect(r.screen()).toBe('authorised');
});
