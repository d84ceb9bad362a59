import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Entry } from '@fillwright/core/island';
import { openJournal } from '@fillwright/journal';
import { afterEach, expect, test } from 'vitest';
import { identityIn } from './box/identity.ts';
import { sealPins } from './practice.ts';
import { hoseState, type Rig, rig } from './testing/rig.ts';
import { CARD, PIN, SITE, world } from './testing/world.ts';

let r: Rig;
afterEach(() => r.end());

const guarded = () => world((put) => put('sites', { id: SITE, pin: true, pinTries: 3, pinLock: 30 }));

async function running(): Promise<void> {
  r = await rig();
  r.office.offer(r.office.bundle(guarded(), 1));
  await r.boot();
  await r.until('a running release', () => r.site.view().running === 1);
  const identity = identityIn(r.dir, () => 'never');
  if (!identity.ok) throw new Error('no keys');
  r.office.say(
    'pins',
    sealPins(guarded(), identity.value.seal.publicKey, (d) => PIN[d] ?? '', 1),
  );
  await r.until('the PINs are here', () => r.office.got.length > 0);
  await r.flow('a free hose', () => hoseState(r, 'h1') === 'idle');
}

async function keyPin(pin: string): Promise<void> {
  await r.flow('a PIN is asked', () => r.screen() === 'pin' || r.screen() === 'pinWrong');
  await r.keys(pin);
  await r.until('the PIN is compared', () => r.screen() !== 'wait');
}

test('the right PIN lets through, and no file of the box holds it', async () => {
  await running();
  expect(r.office.got).toContainEqual({ kind: 'pins', version: 1 });
  r.yard.present('term', CARD.ada);
  await keyPin('1111');
  expect(r.screen()).toBe('pinWrong');
  await keyPin(PIN.ada ?? '');
  expect(r.screen()).toBe('choose');
  for (const name of readdirSync(r.dir)) {
    if (name !== 'bundles') expect(readFileSync(join(r.dir, name)).includes(`"${PIN.ada}"`)).toBe(false);
  }
});

test('pulling the plug gives nobody another guess: three wrong PINs lock for half an hour, over a restart', async () => {
  await running();
  r.yard.present('term', CARD.ada);
  await keyPin('1111');
  await keyPin('2222');
  await r.site.stop();
  await r.boot();
  await r.flow('a free hose', () => hoseState(r, 'h1') === 'idle');
  r.yard.present('term', CARD.ada);
  await keyPin('3333');
  expect(r.screen()).toBe('refused');
  await r.flow('an idle terminal', () => r.screen() === 'idle');
  r.yard.present('term', CARD.ada);
  await keyPin(PIN.ada ?? '');
  expect(r.screen()).toBe('refused');
  await r.run(31 * 60_000);
  r.yard.present('term', CARD.ada);
  await keyPin(PIN.ada ?? '');
  expect(r.screen()).toBe('choose');
});

test('an attempt is journalled before it is compared, and every attempt has its outcome', async () => {
  await running();
  r.yard.present('term', CARD.bo);
  await keyPin('1111');
  await r.until('both at the office', () => r.journal().filter((e) => e.kind === 'pin').length === 2);
  expect(r.journal().flatMap((e) => (e.kind === 'pin' ? [e.step] : []))).toEqual(['attempt', 'wrong']);
});

/** The steps of each attempt in a folder's journal, as a power cut leaves it. */
function stepsIn(folder: string): string[] {
  const identity = identityIn(folder, () => 'never');
  const opened = identity.ok
    ? openJournal({ path: join(folder, 'journal.db'), box: identity.value.box, newEpoch: () => 'never' })
    : identity;
  if (!opened.ok) throw new Error(opened.error.cause);
  const entries = opened.value.entries(1, opened.value.last());
  opened.value.close();
  return entries
    .map((e) => JSON.parse(Buffer.from(e.payload).toString('utf8')) as Entry)
    .flatMap((e) => (e.kind === 'pin' ? [e.step] : []));
}

test.each([
  { cut: 'after the attempt is durable and before it is compared', settled: false, steps: ['attempt'] },
  { cut: 'after it was found wrong', settled: true, steps: ['attempt', 'wrong'] },
])('the power is cut $cut, at every guess: three guesses lock all the same', async ({ settled, steps }) => {
  await running();
  const cuts: string[] = [];
  try {
    for (const guess of ['1111', '2222', '3333']) {
      r.yard.present('term', CARD.ada);
      await r.flow('a PIN is asked', () => r.screen() === 'pin');
      for (const key of guess) r.yard.key('term', key);
      r.yard.key('term', 'enter');
      while (r.screen() === 'pin') await r.run(10);
      if (settled) await r.until('the PIN is compared', () => r.screen() !== 'wait');
      const cut = mkdtempSync(join(tmpdir(), 'fillwright-pin-'));
      cpSync(cuts.at(-1) ?? r.dir, cut, { recursive: true });
      cuts.push(cut);
      // Each attempt stands in the journal; before it is compared, nothing else does.
      expect(stepsIn(cut).slice(-steps.length)).toEqual(guess === '3333' && settled ? ['attempt', 'locked'] : steps);
      const stopping = r.site.stop();
      await r.run(5_000);
      await stopping;
      await r.boot({ dataDir: cut });
      await r.flow('a free hose', () => hoseState(r, 'h1') === 'idle');
    }
    r.yard.present('term', CARD.ada);
    await r.flow('a PIN is asked, or not', () => r.screen() === 'pin' || r.screen() === 'refused');
    if (r.screen() === 'pin') await r.keys(PIN.ada ?? '');
    await r.until('no', () => r.screen() === 'refused');
  } finally {
    for (const cut of cuts) rmSync(cut, { recursive: true, force: true });
  }
});
