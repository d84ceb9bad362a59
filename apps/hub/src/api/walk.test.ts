import { call, ROUTES } from '@fillwright/wire';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { fillDraft, given, openOffice, PASSWORD, releaseDraft, type TestOffice } from '../testing/office.ts';

let office: TestOffice;
beforeAll(async () => {
  office = await openOffice();
});
afterAll(() => office?.stop());

test('a fleet goes from the first owner to a release, and every page has its answer', async () => {
  const { owner } = office;
  expect(await given(call(owner, 'office', {}))).toMatchObject({ hasOwner: true });
  expect((await given(call(owner, 'me', {}))).role).toBe('owner');
  const version = await fillDraft(office);
  expect(version).toBe(1);
  const preview = await given(call(owner, 'releasePreview', {}));
  expect(preview.findings.filter((f) => f.severity === 'error')).toEqual([]);
  expect(await releaseDraft(office)).toBe(1);
  expect((await given(call(owner, 'releasePreview', {}))).same).toBe(true);
  const again = await call(owner, 'release', { body: { version, note: '', words: {} } });
  expect(again).toMatchObject({ ok: false, error: { status: 409, problem: { code: 'FW-303' } } });
  expect(await given(call(owner, 'releases', {}))).toHaveLength(1);
  const released = await given(call(owner, 'fleet', { query: { which: '1' } }));
  expect(released.fleet).toEqual((await given(call(owner, 'fleet', {}))).fleet);
  expect(await given(call(owner, 'sites', {}))).toMatchObject([
    { site: 'north', wanted: 1, running: null, link: 'never' },
  ]);
  expect(await given(call(owner, 'fills', {}))).toEqual({
    fills: [],
    totals: { fills: 0, volume: 0, amount: 0 },
    next: null,
  });
  expect(await given(call(owner, 'refusals', {}))).toEqual([]);
  expect(await given(call(owner, 'setAside', {}))).toEqual([]);
  expect(await given(call(owner, 'stops', {}))).toEqual([]);
  expect(await given(call(owner, 'tankBooks', {}))).toMatchObject([{ tank: 't1', book: 0 }, { tank: 't2' }]);
  expect(await call(owner, 'running', { params: { site: 'north' } })).toMatchObject({
    error: { problem: { code: 'FW-308' } },
  });
});

test('the workbook that was exported comes back as no change, and a changed one as one import', async () => {
  const { owner } = office;
  const book = new Uint8Array((await given(call(owner, 'exportBook', {}))) as ArrayBuffer);
  const same = await given(call(owner, 'stageImport', { query: { name: 'fleet.xlsx' }, file: book }));
  expect(same).toMatchObject({ kind: 'book', editCount: 0 });
  const csv = new TextEncoder().encode('Driver name,Card no\nCy Marsh,3001\n');
  const staged = await given(call(owner, 'stageImport', { query: { name: 'people.csv' }, file: csv }));
  expect(staged.kind).toBe('roster');
  expect(staged.editCount).toBeGreaterThan(0);
  const mapped = await given(
    call(owner, 'mapImport', { params: { id: staged.id }, body: { mapping: staged.mapping } }),
  );
  expect(mapped.editCount).toBe(staged.editCount);
  const { version } = await given(call(owner, 'draft', {}));
  const done = await given(call(owner, 'applyImport', { params: { id: staged.id }, body: { version } }));
  expect(done.version).toBe(version + 1);
  expect((await given(call(owner, 'history', {})))[0]).toMatchObject({ kind: 'import', note: 'people.csv' });
  const gone = await call(owner, 'applyImport', { params: { id: staged.id }, body: { version: done.version } });
  expect(gone).toMatchObject({ error: { status: 404, problem: { code: 'FW-111' } } });
  expect(((await given(call(owner, 'template', {}))) as ArrayBuffer).byteLength).toBeGreaterThan(1000);
});

test('roles: each route turns away whoever may less, and everybody who is not signed in', async () => {
  const { owner, hub } = office;
  const body = { name: 'Vi Reed', email: 'vi@example.test', role: 'viewer' as const, password: PASSWORD };
  const vi = await given(call(owner, 'addAccount', { body }));
  expect(await call(owner, 'addAccount', { body })).toMatchObject({ error: { problem: { code: 'FW-408' } } });
  const viewer = await office.signIn(body.email, PASSWORD);
  if (typeof viewer === 'string') throw new Error(viewer);
  for (const [name, route] of Object.entries(ROUTES)) {
    const url = hub.url + route.path.replace(/:\w+/g, 'x');
    const ask = (cookie: string) =>
      fetch(url, {
        method: route.method,
        headers: { cookie, ...('body' in route ? { 'content-type': 'application/json' } : {}) },
        ...('body' in route ? { body: '{}' } : {}),
      });
    if (route.may !== 'anyone') expect((await ask('')).status, name).toBe(401);
    if (route.may === 'editor' || route.may === 'owner' || route.may === 'technician')
      expect((await ask(viewer.headers?.cookie ?? '')).status, name).toBe(403);
  }
  await given(call(owner, 'changeAccount', { params: { id: vi.id }, body: { open: false } }));
  expect(await call(viewer, 'me', {})).toMatchObject({ error: { status: 401 } });
  const alone = await call(owner, 'changeAccount', { params: { id: office.me.id }, body: { role: 'viewer' } });
  expect(alone).toMatchObject({ error: { problem: { cause: 'The office would be left without an owner.' } } });
});

test('after five wrong passwords an account waits, also with the right one', async () => {
  const body = { name: 'Ed Marsh', email: 'ed@example.test', role: 'editor' as const, password: PASSWORD };
  await given(call(office.owner, 'addAccount', { body }));
  for (let i = 0; i < 5; i++) expect(await office.signIn(body.email, 'not the password')).toBe('FW-402');
  expect(await office.signIn(body.email, PASSWORD)).toBe('FW-409');
  office.clock.at += 31_000;
  expect(typeof (await office.signIn(body.email, PASSWORD))).toBe('object');
});

test('what is malformed, foreign or nowhere is refused with a problem and the request’s number', async () => {
  const { hub, owner } = office;
  const post = (headers: Record<string, string>, body: string) =>
    fetch(`${hub.url}/api/draft/edits`, { method: 'POST', headers: { ...owner.headers, ...headers }, body });
  const foreign = await post({ 'content-type': 'application/json', origin: 'http://elsewhere.test' }, '{}');
  expect(foreign.status).toBe(403);
  expect((await post({ 'content-type': 'text/plain' }, '{}')).status).toBe(400);
  const wrong = await post({ 'content-type': 'application/json' }, '{"version":"x","edits":[]}');
  expect(await wrong.json()).toMatchObject({ error: { code: 'FW-501' }, request: expect.any(String) });
  expect((await fetch(`${hub.url}/api/nowhere`)).status).toBe(404);
  const doc = await (await fetch(`${hub.url}/api/openapi.json`)).json();
  const ids = Object.values(doc.paths as Record<string, Record<string, { operationId: string }>>).flatMap((p) =>
    Object.values(p).map((o) => o.operationId),
  );
  expect(ids.sort()).toEqual(Object.keys(ROUTES).sort());
});

test('a desk that listens hears of a change', async () => {
  const stop = new AbortController();
  const stream = await fetch(`${office.hub.url}/api/events`, {
    headers: office.owner.headers ?? {},
    signal: stop.signal,
  });
  const reader = (stream.body as ReadableStream<Uint8Array>).getReader();
  const { version } = await given(call(office.owner, 'draft', {}));
  await given(
    call(office.owner, 'editDraft', {
      body: { version, edits: [{ op: 'set', table: 'sites', id: 'north', fields: { address: '2 Quarry Road' } }] },
    }),
  );
  let text = '';
  while (!text.includes('data:')) text += new TextDecoder().decode((await reader.read()).value);
  expect(text).toContain(`"version":${version + 1}`);
  stop.abort();
});

test('a second hub on the same folder, or on a taken port, says so', async () => {
  const { startHub } = await import('../hub.ts');
  const { quiet } = await import('../testing/office.ts');
  const { mkdtempSync } = await import('node:fs');
  const port = Number(new URL(office.hub.url).port);
  const dataDir = mkdtempSync('/tmp/fillwright-second-');
  const { holdFolder } = await import('../store/hold.ts');
  const held = await holdFolder(dataDir);
  expect(held.ok).toBe(true);
  expect(await startHub({ dataDir, port, host: '127.0.0.1', log: quiet })).toMatchObject({ error: { code: 'FW-605' } });
  if (held.ok) await held.value.release();
});
