import { newRow } from '@fillwright/core/fleet';
import { ASKED, call, deskEvent } from '@fillwright/wire';
import { pino } from 'pino';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { whyTold } from '../ledger/why-told.ts';
import { fillDraft, fleetOf, given, openOffice, releaseDraft, smallFleet, type TestOffice } from '../testing/office.ts';
import { openReachThread } from './thread.ts';

let office: TestOffice;
beforeAll(async () => {
  office = await openOffice();
});
afterAll(() => office?.stop());

const L = 1_000_000;
const edit = async (edits: Parameters<typeof fleetOf>[0]) => {
  const { version } = await given(call(office.owner, 'draft', {}));
  return given(call(office.owner, 'editDraft', { body: { version, edits: [...edits] } }));
};
const wish = (given: Partial<ReturnType<typeof row>>) => ({
  op: 'put' as const,
  table: 'expectations' as const,
  row: { ...row('wish'), ...given },
});
const row = (id: string) => newRow('expectations', { id });

test('a release that gains somebody something, or breaks an expectation, wants a word; both are kept with it', async () => {
  const { owner } = office;
  await fillDraft(office);
  await edit([wish({ must: 'atMost', quantity: 200 * L, wish: 'Never more than two hundred' })]);
  const preview = await given(call(owner, 'releasePreview', {}));
  const found = Object.fromEntries(preview.findings.map((f) => [f.id, 'known']));
  const release = async (words: Record<string, string>) => {
    const { version } = await given(call(owner, 'draft', {}));
    return call(owner, 'release', { body: { version, note: '', words: { ...found, ...words } } });
  };
  const stands = await given(call(owner, 'releaseStands', {}));
  expect(stands).toMatchObject({ base: null, broken: [{ id: 'wish', verdict: 'broken' }] });
  expect(BigInt(stands.gained.points)).toBeGreaterThan(0n);
  expect(await release({ gained: 'yes' })).toMatchObject({
    ok: false,
    error: { status: 409, problem: { code: 'FW-320' } },
  });
  expect(await release({ 'expectation:wish': 'agreed' })).toMatchObject({ error: { problem: { code: 'FW-309' } } });
  expect(await release({ 'expectation:wish': ' ', gained: ' ' })).toMatchObject({
    error: { problem: { code: 'FW-320' } },
  });
  const made = await given(release({ 'expectation:wish': 'agreed', gained: 'opening day', 'no such': 'x' }));
  expect(made.words).toMatchObject({ 'expectation:wish': 'agreed', gained: 'opening day' });
  expect(made.words).not.toHaveProperty('no such');
  expect(made.access?.gained).toEqual(stands.gained.lines);
  expect(made.access?.broken[0]).toContain('at most');
  expect((await given(call(owner, 'releases', {})))[0]).toEqual(made);
  // Lowering a limit gains nobody anything, and mends what was broken.
  await edit([{ op: 'set', table: 'allowances', id: 'daily', fields: { perDay: 150 * L } }]);
  expect(await given(call(owner, 'releaseStands', {}))).toMatchObject({ base: 1, gained: { points: '0' }, broken: [] });
  expect(await given(release({}))).toMatchObject({ number: 2, access: { gained: [], broken: [] } });
});

test('reach, difference and expectations of draft and releases, in pages', async () => {
  const { owner } = office;
  await edit([{ op: 'set', table: 'allowances', id: 'daily', fields: { perDay: 300 * L } }]);
  const lowered = await given(call(owner, 'difference', { query: { before: '1', after: '2' } }));
  expect(lowered.groups.map((g) => g.kind)).toEqual(['lowered']);
  expect(lowered.groups[0]).toMatchObject({ before: [300 * L, 300 * L], after: [150 * L, 150 * L] });
  const raised = await given(call(owner, 'difference', { query: { before: '2', kind: 'raised', limit: 1 } }));
  expect(raised).toMatchObject({ after: 'draft', total: raised.counts.raised });
  expect(raised.groups).toHaveLength(1);
  expect((await given(call(owner, 'difference', { query: { before: '2', kind: 'gained' } }))).groups).toEqual([]);
  const reach = await given(call(owner, 'reach', { query: { site: 'north', driver: 'd1' } }));
  expect(reach.rows).toMatchObject([
    { kind: 'driver', product: 'diesel', hoses: ['h1'], who: { names: ['Bo Finch'] } },
  ]);
  const { expectations } = await given(call(owner, 'expectations', { query: { which: '2' } }));
  expect(expectations).toMatchObject([{ id: 'wish', verdict: 'holds' }]);
  expect(await call(owner, 'difference', { query: { before: 'running:north' } })).toMatchObject({
    error: { problem: { code: 'FW-336' } },
  });
  expect(await call(owner, 'expectations', { query: { which: '99' } })).toMatchObject({
    error: { problem: { code: 'FW-308' } },
  });
  expect(await releaseDraft(office)).toBe(3);
});

test('a difference of a part, with its week and for whom nothing changes; one site against another; the week of a place', async () => {
  const { owner } = office;
  const lowered = { before: '1', after: '2', week: 'true' } as const;
  const all = await given(call(owner, 'difference', { query: lowered }));
  expect(all.weeks?.map((w) => w.product)).toEqual(['Diesel']);
  const minutes = all.weeks?.[0]?.stretches.reduce((n, s) => n + s.lowered * (s.to - s.from), 0);
  expect(String(minutes)).toBe(all.points.lowered);
  const d1 = await given(call(owner, 'difference', { query: { ...lowered, driver: 'd1', site: 'north' } }));
  expect(BigInt(d1.points.lowered)).toBeGreaterThan(0n);
  expect(d1.unchanged?.drivers).toEqual({ count: 0, names: [] });
  expect(await given(call(owner, 'difference', { query: { before: '1', after: '2' } }))).toMatchObject({
    points: all.points,
    weeks: null,
    unchanged: null,
  });
  const same = await given(call(owner, 'difference', { query: { ...lowered, after: '1', driver: 'd1' } }));
  expect(same).toMatchObject({ total: 0, unchanged: { drivers: { names: ['Bo Finch'] } } });
  const south = {
    sites: newRow('sites', { id: 'south', name: 'South', zone: 'UTC', identify: 'driver' }),
    hoses: newRow('hoses', {
      id: 'h9',
      site: 'south',
      product: 'diesel',
      number: 1,
      island: 'i9',
      pump: 'u9',
      mostPerFill: 10 * L,
    }),
  };
  await edit([
    { op: 'put', table: 'sites', row: { ...south.sites } },
    { op: 'put', table: 'hoses', row: { ...south.hoses } },
  ]);
  const sites = { first: 'north', second: 'south' };
  const two = await given(call(owner, 'siteDifference', { query: { ...sites, driver: 'd1' } }));
  expect(two.total).toBeGreaterThan(0);
  expect(two.groups.every((g) => ['h1', 'h9'].includes(g.witness.hose))).toBe(true);
  expect(await call(owner, 'siteDifference', { query: { ...sites, second: 'nowhere' } })).toMatchObject({
    error: { problem: { code: 'FW-204' } },
  });
  const week = (query: Record<string, string>) => given(call(owner, 'reachWeek', { query }));
  const north = await week({ site: 'north', driver: 'd1', vehicle: 'v1', hose: 'h1' });
  expect(north).toMatchObject({ why: null, sites: [], weeks: [{ hoses: ['h1'], nothing: null }] });
  const company = await week({ site: 'north', driver: 'd1', withAnybody: 'true', hose: 'h1' });
  expect(company.weeks.map((w) => w.stretches)).toEqual(north.weeks.map((w) => w.stretches));
  const everywhere = await week({ product: 'diesel' });
  expect(everywhere.weeks).toHaveLength(1);
  expect(everywhere.sites.map((s) => s.site)).toEqual(['north', 'south']);
  expect(await call(owner, 'reachWeek', { query: { hose: 'h77' } })).toMatchObject({
    error: { problem: { code: 'FW-204' } },
  });
});

test('a question can be dropped, waiting or worked on; the next is answered', async () => {
  const thread = openReachThread(pino({ enabled: false }));
  const fleet = fleetOf(smallFleet());
  const ask = (key: string, signal?: AbortSignal) =>
    thread.ask<'expectations'>(key, async () => ({ kind: 'expectations', today: 20_000, fleet }), { signal });
  const [first, second] = [new AbortController(), new AbortController()];
  const one = ask('one', first.signal);
  const two = ask('two', second.signal);
  const three = ask('three');
  second.abort();
  first.abort();
  expect(await one).toMatchObject({ ok: false, error: [{ code: 'FW-322' }] });
  expect(await two).toMatchObject({ ok: false, error: [{ code: 'FW-322' }] });
  expect(await three).toEqual({ ok: true, value: [] });
  await thread.stop();
});

test('the two that were compared last are held for the next question, until another is asked', async () => {
  const thread = openReachThread(pino({ enabled: false }));
  const [before, after] = [fleetOf([]), fleetOf(smallFleet())];
  const heard: (string | undefined)[] = [];
  const wish = (driver: string | null) => ({
    ...{ today: 20_000, week: true },
    within: driver === null ? null : { driver, vehicle: null, department: null, site: null, product: null },
  });
  const ask = (key: string, driver: string | null, anew: boolean) =>
    thread.ask<'difference'>(key, async (held) => {
      heard.push(held);
      return {
        ...{ kind: 'difference', ...wish(driver), holds: 'two' },
        two: held === 'two' && !anew ? null : { of: 'fleets', before, after },
      };
    });
  const all = await ask('all', null, true);
  expect(all).toMatchObject({ ok: true });
  const part = await ask('a part', 'd1', false);
  expect(part).toEqual(await ask('the same part, made anew', 'd1', true));
  expect(part).not.toEqual(all);
  expect(await ask('all of it again', null, false)).toEqual(all);
  await thread.ask<'expectations'>('another', async () => ({ kind: 'expectations', today: 20_000, fleet: after }));
  await ask('after another', 'd1', false);
  expect(heard).toEqual([undefined, 'two', 'two', 'two', undefined]);
  await thread.stop();
});

test('what would have had to be different is worked out in the thread, as it would be here', async () => {
  const thread = openReachThread(pino({ enabled: false }));
  const fleet = fleetOf(smallFleet());
  const [card] = [...fleet.credentials.values()];
  const at = Date.UTC(2026, 5, 3, 18);
  const credentials = [card?.number ?? ''];
  const request = { site: 'north', hose: 'h1', at, credentials, pin: 'wrong' as const, answers: {} };
  const base = { fleet, request, usage: { used: {}, readings: {}, cutOff: false } };
  const here = whyTold(base, 0);
  expect(here.again.approved).toBe(false);
  expect(here.remedies.length).toBeGreaterThan(0);
  expect(await thread.ask<'why'>('why', async () => ({ kind: 'why', base, wanted: 0 }))).toEqual({
    ok: true,
    value: here,
  });
  await thread.stop();
});

test('how far a question is comes as an event under the name that it was put with, and to nobody without one', async () => {
  const { owner } = office;
  const listening = new AbortController();
  const events = await owner.fetch(`${owner.base}/api/events`, {
    headers: { ...owner.headers },
    signal: listening.signal,
  });
  const named = { ...owner, headers: { ...owner.headers, [ASKED]: 'question-7' } };
  expect((await call(named, 'accessStatement', { query: { site: 'north' } })).ok).toBe(true);
  expect((await call(named, 'difference', { query: { before: '1', after: '3' } })).ok).toBe(true);
  expect((await call(owner, 'difference', { query: { before: '2', after: '3' } })).ok).toBe(true);
  await edit([{ op: 'set', table: 'products', id: 'diesel', fields: { name: 'Diesel oil' } }]);
  const reader = events.body?.pipeThrough(new TextDecoderStream()).getReader();
  let text = '';
  // The edit comes last, so that all before it has been heard.
  while (!text.includes('"kind":"draft"')) text += (await reader?.read())?.value ?? '';
  listening.abort();
  const heard = [...text.matchAll(/^data: (.*)$/gm)].map((m) => deskEvent.parse(JSON.parse(m[1] ?? '')));
  const progress = heard.filter((e) => e.kind === 'progress');
  expect(progress.length).toBeGreaterThanOrEqual(2);
  expect(new Set(progress.map((e) => e.asked))).toEqual(new Set(['question-7']));
  for (const e of progress) expect(e.done).toBeLessThanOrEqual(e.of);
});
