import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join as path } from 'node:path';
import { newRow } from '@fillwright/core/fleet';
import { join, type RunningSite, realClock, simulatedYards, startSite } from '@fillwright/site';
import { call } from '@fillwright/wire';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { fillDraft, given, openOffice, quiet, releaseDraft, type TestOffice } from '../testing/office.ts';
import { openKeys } from './keys.ts';

/** An office with its database and broker and two whole boxes, one of them away while the key is given on. */
let office: TestOffice;
let folder = '';
const boxes = new Map<string, RunningSite>();
const SITES = ['north', 'south'];
const DAY = 86_400_000;

async function boot(site: string): Promise<void> {
  const clock = realClock();
  const dataDir = path(folder, site);
  const yard = simulatedYards({ clock, seed: site, dataDir });
  boxes.set(site, await given(startSite({ dataDir, clock, log: quiet, yard })));
}
const until = (holds: () => boolean | Promise<boolean>, message: string) =>
  expect.poll(holds, { timeout: 40_000, interval: 100, message }).toBe(true);
const runs = (site: string, revision: number) =>
  until(() => boxes.get(site)?.view().running === revision, `${site} runs ${revision}`);
const key = () => given(call(office.owner, 'officeKey', {}));
const acknowledged = async (id: string) =>
  (await given(call(office.owner, 'stops', {})))
    .find((s) => s.id === id)
    ?.sites.flatMap((s) => (s.gotAt === null ? [] : [s.site])) ?? [];
async function release(note: string): Promise<void> {
  const { version } = await given(call(office.owner, 'draft', {}));
  const edits = [{ op: 'set' as const, table: 'sites' as const, id: 'north', fields: { address: note } }];
  await given(call(office.owner, 'editDraft', { body: { version, edits } }));
  await releaseDraft(office);
}

beforeAll(async () => {
  office = await openOffice();
  await fillDraft(office);
  const { version } = await given(call(office.owner, 'draft', {}));
  const row = (id: string) =>
    newRow('sites', {
      id,
      name: id,
      zone: 'America/Denver',
      address: '1 Quarry Road',
      identify: 'driver',
      pin: false,
    } as never);
  const edits = SITES.map((id) => ({ op: 'put' as const, table: 'sites' as const, row: row(id) }));
  await given(call(office.owner, 'editDraft', { body: { version, edits } }));
  await releaseDraft(office);
  folder = mkdtempSync(path(tmpdir(), 'fillwright-handover-'));
});
afterAll(async () => {
  for (const box of boxes.values()) await box.stop();
  await office?.stop();
  rmSync(folder, { recursive: true, force: true });
});

test('the key is given on while a box is away: who is here confirms, the date ends the old key, and who comes back follows', async () => {
  for (const site of SITES) {
    const { code } = await given(call(office.owner, 'joinCode', { params: { site } }));
    await given(join(office.hub.url, code, path(folder, site)));
    await boot(site);
    await runs(site, 1);
  }
  const before = await key();
  expect(before).toMatchObject({ version: 0, next: null });
  await boxes.get('south')?.stop();
  const at = office.clock.at;
  expect(await call(office.owner, 'handOverKey', { body: { until: at } })).toMatchObject({
    error: { problem: { code: 'FW-420' } },
  });
  const begun = await given(call(office.owner, 'handOverKey', { body: { until: at + 2 * DAY } }));
  expect(begun).toMatchObject({ version: 0, fingerprint: before.fingerprint, next: { version: 1 } });
  expect(await call(office.owner, 'handOverKey', { body: { until: at + 2 * DAY } })).toMatchObject({
    error: { problem: { code: 'FW-419' } },
  });
  await until(async () => (await key()).next?.waiting.join() === 'south', 'north has the new key');
  expect((await key()).next?.has).toEqual(['north']);
  // Until it is through the office signs with the old one: nobody is stranded.
  await release('2 Quarry Road');
  await runs('north', 2);

  office.clock.at = at + 2 * DAY + 1;
  await until(async () => (await key()).version === 1, 'the date ends the old key');
  expect((await key()).next).toBeNull();
  const stop = await given(call(office.owner, 'stopCredential', { params: { id: 'c2' }, body: { reason: 'lost' } }));
  await until(async () => (await acknowledged(stop.id)).join() === 'north', 'north goes by the new key');
  await release('3 Quarry Road');
  await runs('north', 3);

  // South knows nothing of all that: it follows, then takes stop and release.
  await boot('south');
  await runs('south', 3);
  await until(async () => (await acknowledged(stop.id)).join() === 'north,south', 'south has the stop');

  // And once more, with everybody here: it ends by itself, before its date.
  await given(call(office.owner, 'handOverKey', { body: { until: office.clock.at + 300 * DAY } }));
  await until(async () => (await key()).version === 2, 'all have the second new key');
  await release('4 Quarry Road');
  await runs('north', 4);
  await runs('south', 4);

  // A box that joins now takes a release that was signed with an older key.
  await given(call(office.owner, 'handOverKey', { body: { until: office.clock.at + 300 * DAY } }));
  await until(async () => (await key()).version === 3, 'all have the third new key');
  const { code } = await given(call(office.owner, 'joinCode', { params: { site: 'south' } }));
  await boxes.get('south')?.stop();
  rmSync(path(folder, 'south'), { recursive: true });
  await given(join(office.hub.url, code, path(folder, 'south')));
  await boot('south');
  await runs('south', 4);
}, 180_000);

const folders: string[] = [];
afterEach(() => {
  for (const f of folders.splice(0)) rmSync(f, { recursive: true, force: true });
});
function keysFolder(): string {
  const made = mkdtempSync(path(tmpdir(), 'fillwright-keys-'));
  folders.push(made);
  return made;
}

test('the keys outlive a restart at every step, and what was signed before is signed anew, but nothing that the office never signed', () => {
  const at = keysFolder();
  const first = openKeys(at);
  const old = first.afresh({ signed: '{"a":1}', signature: '' });
  expect(old.signature).toBe('');
  expect(first.told).toBeUndefined();
  expect(first.finish()).toBe(false);
  expect(first.handOver(0, 9)).toBe(true);
  expect(first.handOver(0, 9)).toBe(false);
  const during = openKeys(at);
  expect([during.version, during.next?.version, during.told?.handovers.length, during.told?.ends]).toEqual([
    0,
    1,
    1,
    null,
  ]);
  expect(during.finish()).toBe(true);
  const after = openKeys(at);
  expect([after.version, after.next, after.told?.ends === null]).toEqual([1, undefined, false]);
  expect(after.signing.publicKey).not.toBe(first.signing.publicKey);
  expect(after.afresh({ signed: '{"a":1}', signature: 'AAAA' }).signature).toBe('AAAA');
});

test('a key that came because the one before was lost begins a new chain, with a number of its own', () => {
  const at = keysFolder();
  openKeys(at).handOver(0, 9);
  openKeys(at).finish();
  rmSync(path(at, 'office.key'));
  const anew = openKeys(at);
  expect([anew.version, anew.next, anew.told]).toEqual([2, undefined, undefined]);
  anew.handOver(0, 9);
  expect(anew.next?.version).toBe(3);
  expect(anew.told?.handovers.length).toBe(1);
  // A power cut before the statement was written: the next key that nobody knows of is made again.
  const cut = keysFolder();
  openKeys(cut);
  writeFileSync(path(cut, 'office.key.next'), '{}');
  const keys = openKeys(cut);
  expect([keys.next, keys.handOver(0, 9), keys.finish()]).toEqual([undefined, true, true]);
  expect(JSON.parse(readFileSync(path(cut, 'office.key'), 'utf8'))).toMatchObject({
    publicKey: keys.signing.publicKey,
  });
});
