import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join as path } from 'node:path';
import { newRow } from '@fillwright/core/fleet';
import type { SimulatedYard } from '@fillwright/sim';
import { join, type RunningSite, realClock, simulatedYards, startSite } from '@fillwright/site';
import { call, type FromSite, type SignedText, stickNames } from '@fillwright/wire';
import pg from 'pg';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { fillDraft, given, openOfficeAndDatabase, quiet, releaseDraft, type TestOffice } from '../testing/office.ts';

/** An office with its database, a whole box with its journal, and no link between them: files go by hand. */
const SITE = 'north';
let office: TestOffice;
let url: string;
let stop: () => Promise<void>;
let folder = '';
let site: RunningSite;
let yard: SimulatedYard;
let linked = '';

const membership = () => path(folder, 'box', 'office.json');
async function boot(): Promise<void> {
  const clock = realClock(10);
  const dataDir = path(folder, 'box');
  const made = (simulated: SimulatedYard) => {
    yard = simulated;
  };
  const started = await startSite({
    dataDir,
    clock,
    log: quiet,
    stickDir: folder,
    yard: simulatedYards({ clock, seed: 'stick', dataDir, made }),
  });
  if (!started.ok) throw new Error(JSON.stringify(started.error));
  site = started.value;
}
const until = (holds: () => boolean | Promise<boolean>, what: string) =>
  expect.poll(holds, { timeout: 30_000, interval: 50, message: what }).toBe(true);

const give = (text: SignedText) => writeFileSync(path(folder, stickNames.to(SITE)), JSON.stringify(text));
const owed = () => given(call(office.owner, 'stickFor', { params: { site: SITE } }));
const answer = (): SignedText => JSON.parse(readFileSync(path(folder, stickNames.from(SITE)), 'utf8')) as SignedText;
const inside = (): FromSite | undefined => {
  try {
    return JSON.parse(answer().signed) as FromSite;
  } catch {
    return undefined;
  }
};
const take = (body: SignedText) => call(office.owner, 'takeStick', { body });
const fills = async () => (await given(call(office.owner, 'fills', { query: {} }))).totals.fills;
const status = async () => (await given(call(office.owner, 'sites', {})))[0];

async function draw(): Promise<void> {
  await until(() => site.view().hoses[0]?.state === 'idle', 'a hose to draw from');
  yard.present('k1', '1001');
  await until(() => site.view().hoses[0]?.lamp === 'ready', 'an armed hose');
  yard.lift('h1');
  yard.squeeze('h1', 1);
  await until(() => (yard.look().hoses.h1?.count ?? 0) > 0 && site.view().hoses[0]?.lamp === 'flowing', 'fuel');
  await new Promise((done) => setTimeout(done, 300));
  yard.squeeze('h1', 0);
  yard.hang('h1');
  await until(() => site.view().hoses[0]?.state === 'idle', 'a free hose');
}
const everythingWritten = () =>
  until(
    () => inside()?.state.journal?.last === site.view().unsent + (inside()?.state.journal?.acknowledged ?? -1),
    'it',
  );

/** Keeps every row of the office, and gives what puts them back as they were: as a restored backup does. */
async function backUp(): Promise<() => Promise<void>> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  const { rows } = await client.query<{ name: string }>(
    `select quote_ident(tablename) as name from pg_tables where schemaname = 'fillwright'`,
  );
  await client.query('create schema kept');
  for (const { name } of rows) await client.query(`create table kept.${name} as table fillwright.${name}`);
  return async () => {
    // Nothing is checked row by row, as when a dump is loaded.
    await client.query('begin; set local session_replication_role = replica');
    for (const { name } of rows) {
      await client.query(`delete from fillwright.${name}`);
      await client.query(`insert into fillwright.${name} overriding system value select * from kept.${name}`);
    }
    await client.query('commit');
    await client.end();
  };
}

beforeAll(async () => {
  ({ office, url, stop } = await openOfficeAndDatabase());
  await fillDraft(office);
  const { version } = await given(call(office.owner, 'draft', {}));
  const row = {
    id: SITE,
    name: 'North yard',
    zone: 'America/Denver',
    address: '1 Quarry Road',
    identify: 'driver',
    pin: false,
  };
  await given(
    call(office.owner, 'editDraft', {
      body: { version, edits: [{ op: 'put', table: 'sites', row: newRow('sites', row as never) }] },
    }),
  );
  await releaseDraft(office);
  folder = mkdtempSync(path(tmpdir(), 'fillwright-stick-'));
  const { code } = await given(call(office.owner, 'joinCode', { params: { site: SITE } }));
  await given(join(office.hub.url, code, path(folder, 'box')));
  linked = readFileSync(membership(), 'utf8');
  writeFileSync(membership(), JSON.stringify({ ...JSON.parse(linked), mqttUrl: 'mqtt://127.0.0.1:9' }));
  await boot();
});
afterAll(async () => {
  await site?.stop();
  await stop?.();
  rmSync(folder, { recursive: true, force: true });
});

test('a site without a link runs what was carried to it, and its journal comes back once, however often and whichever way', async () => {
  const first = await owed();
  give(first);
  await until(() => site.view().running === 1, 'the release runs');
  await draw();
  await everythingWritten();
  const taken = await given(take(answer()));
  expect(taken).toMatchObject({ site: SITE, refused: null, setAside: 0, more: false });
  expect(taken.upTo).toBe(taken.entries);
  expect(await fills()).toBe(1);
  expect(await status()).toMatchObject({ running: 1, link: 'never', unsent: taken.entries });
  // The same file twice changes nothing.
  expect((await given(take(answer()))).upTo).toBe(taken.upTo);
  expect(await fills()).toBe(1);

  // A card is stopped, and what came is acknowledged: both by hand.
  office.clock.at += 60_000;
  await given(call(office.owner, 'stopCredential', { params: { id: 'c2' }, body: { reason: 'lost' } }));
  give(await owed());
  await until(() => inside()?.got.some((g) => g.kind === 'stop') === true, 'the stop is taken');
  // The box had gone on writing since the file was made; what the office has is let go of.
  expect(inside()?.entries[0]?.entries[0]?.seq).toBe(taken.upTo + 1);
  await given(take(answer()));
  const [stop] = await given(call(office.owner, 'stops', {}));
  expect(stop?.sites[0]?.gotAt).not.toBeNull();

  // An older file than the last, and one that was tampered with, are refused, and the answer says so.
  give(first);
  await until(() => inside()?.refused?.code === 'FW-416', 'too old');
  give({ ...first, signed: first.signed.replace('"revision":1', '"revision":9') });
  await until(() => inside()?.refused?.code === 'FW-306', 'not signed');
  expect(site.view().running).toBe(1);

  // The link comes back with entries that went by hand as well.
  await draw();
  await everythingWritten();
  await given(take(answer()));
  expect(await fills()).toBe(2);
  await site.stop();
  writeFileSync(membership(), linked);
  await boot();
  await until(async () => (await status())?.link === 'here' && (await status())?.unsent === 0, 'linked, all sent');
  await draw();
  await until(async () => (await fills()) === 3, 'the third fill');
  expect(await status()).toMatchObject({ gap: false, forked: false });
}, 120_000);

test('the office takes only what the box that stands there has signed', async () => {
  const good = answer();
  expect(await take({ ...good, signed: good.signed.replace('"more":false', '"more":true') })).toMatchObject({
    error: { problem: { code: 'FW-415' } },
  });
  expect(await take({ signed: '{}', signature: good.signature })).toMatchObject({
    error: { problem: { code: 'FW-414' } },
  });
  expect(await call(office.owner, 'stickFor', { params: { site: 'nowhere' } })).toMatchObject({
    error: { problem: { code: 'FW-413' } },
  });
});

test('an office that was restored from a backup gets back by stick what it had acknowledged since, as far as the box keeps it', async () => {
  await site.stop();
  writeFileSync(membership(), JSON.stringify({ ...JSON.parse(linked), mqttUrl: 'mqtt://127.0.0.1:9' }));
  await boot();
  const carry = async () => {
    office.clock.at += 60_000;
    const before = answer().signed;
    give(await owed());
    await until(() => inside() !== undefined && answer().signed !== before, 'an answer');
    await everythingWritten();
    return given(take(answer()));
  };
  await carry();
  const restore = await backUp();
  const had = (await carry()).upTo;
  await draw();
  await draw();
  await carry();
  // The box hears that the office has all of it.
  await carry();
  expect(await fills()).toBe(5);
  await restore();
  expect(await fills()).toBe(3);

  // On the first trip the office learns what it lacks, on the second it asks and gets it.
  await carry();
  expect(await fills()).toBe(3);
  const { upTo, entries } = await carry();
  expect(await fills()).toBe(5);
  expect(entries).toBeGreaterThan(20);
  expect(upTo).toBeGreaterThan(had + 20);
  // Nothing is asked for any more.
  await carry();
  expect(JSON.parse((await owed()).signed).messages.map((m: { kind: string }) => m.kind)).not.toContain('again');
  expect(await status()).toMatchObject({ gap: false, forked: false });
}, 120_000);
