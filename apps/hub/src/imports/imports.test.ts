import { ASKED, call, deskEvent, type Staged } from '@fillwright/wire';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { importHandlers } from '../api/imports.ts';
import type { Asked } from '../api/route.ts';
import type { App } from '../app.ts';
import { openDrafts } from '../draft/drafts.ts';
import { given, openOfficeAndDatabase, quiet } from '../testing/office.ts';
import { type ImportsThread, openImportsThread } from './thread.ts';

type Stood = Awaited<ReturnType<typeof openOfficeAndDatabase>>;
let stood: Stood;
let imports: ImportsThread;
beforeAll(async () => {
  stood = await openOfficeAndDatabase();
  imports = openImportsThread(quiet);
}, 120_000);
afterAll(async () => {
  await imports?.stop();
  await stood?.stop();
});

const rosterOf = (rows: number) =>
  new TextEncoder().encode(
    `Employee no,Name,Card number\n${Array.from({ length: rows }, (_, i) => `${i + 1},Ada Quill ${i},${7_000_000 + i}`).join('\n')}\n`,
  );

type Mapping = { columns: { heading: string; to: unknown[] }[] };
/** The same mapping without the cards. */
const withoutCards = (mapping: unknown) => {
  const { columns, ...rest } = mapping as Mapping;
  return { ...rest, columns: columns.map((c) => (c.heading === 'Card number' ? { ...c, to: [] } : c)) };
};

/** What lies beside the draft. */
const waiting = () =>
  stood.db.as(stood.office.me.fleet, (tx) =>
    tx.rows<{ name: string; mapping: Mapping }>('select name, mapping from waiting_import order by name'),
  );

/**
 * The handlers over this file's own thread: `stops` decides, by how far it is, when whoever asked goes away; `storing`, that they do when
 * the clock is asked, which is when what was read is put aside.
 */
function asking(stops: (progress: { done: number; of: number }) => boolean, storing = false) {
  const { office, db } = stood;
  const gone = new AbortController();
  const heard: { done: number; of: number }[] = [];
  const now = () => {
    if (storing) gone.abort();
    return office.clock.at;
  };
  const app = { db, imports, drafts: openDrafts(db, () => office.clock.at), now } as App;
  const base = {
    ...{ app: { ...app, randomId: () => crypto.randomUUID() }, who: office.me, signal: gone.signal },
    say: (progress: { done: number; of: number }) => {
      heard.push(progress);
      if (stops(progress)) gone.abort();
    },
  };
  return {
    gone,
    heard,
    stage: (name: string, body: Uint8Array) =>
      importHandlers.stageImport({ ...base, query: { name }, body: Buffer.from(body) } as Asked<'stageImport'>),
    map: (id: string, mapping: unknown) =>
      importHandlers.mapImport({ ...base, params: { id }, body: { mapping } } as Asked<'mapImport'>),
  };
}

test('how far it is, is said by rows; a stop while it is read, at any row, or while it is put aside leaves nothing staged', async () => {
  const whole = asking(() => false);
  const staged = await given(whole.stage('whole.csv', rosterOf(40_000)));
  expect(staged).toMatchObject({ kind: 'roster', editCount: 80_000, counts: { drivers: { new: 40_000 } } });
  const done = whole.heard.map((h) => h.done);
  expect(new Set(whole.heard.map((h) => h.of))).toEqual(new Set([40_000]));
  expect(done).toEqual([...done].sort((a, b) => a - b));
  expect(done.at(-1)).toBeGreaterThan(0);
  expect((await waiting()).map((w) => w.name)).toEqual(['whole.csv']);

  const reading = asking(() => false);
  const read = reading.stage('stopped.csv', rosterOf(40_000));
  reading.gone.abort();
  expect(await read).toMatchObject({ ok: false, error: [{ code: 'FW-322' }] });
  expect(reading.heard).toEqual([]);
  for (const from of [0, 1]) {
    const turning = asking((p) => p.done >= from);
    expect(await turning.stage('stopped.csv', rosterOf(40_000))).toMatchObject({
      ok: false,
      error: [{ code: 'FW-322' }],
    });
  }
  await expect(asking(() => false, true).stage('stopped.csv', rosterOf(10))).rejects.toMatchObject({
    problem: { code: 'FW-322' },
  });
  expect((await waiting()).map((w) => w.name)).toEqual(['whole.csv']);
  expect(await given(asking(() => false).stage('whole.csv', rosterOf(40_000)))).toEqual({
    ...staged,
    id: expect.any(String),
  });
}, 120_000);

test('a changed mapping that is stopped leaves the file as it was read before, to be read again or taken', async () => {
  const { owner } = stood.office;
  const name = 'mapped.csv';
  const staged = await given(call(owner, 'stageImport', { query: { name }, file: rosterOf(10_000) }));
  const stopped = await asking(() => true).map(staged.id, withoutCards(staged.mapping));
  expect(stopped).toMatchObject({ ok: false, error: [{ code: 'FW-322' }] });
  expect((await waiting()).find((w) => w.name === name)?.mapping).toEqual(staged.mapping);
  const people = await given(asking(() => false).map(staged.id, withoutCards(staged.mapping)));
  expect(people).toMatchObject({ editCount: 10_000, mapping: withoutCards(staged.mapping) });
  const both = await given(call(owner, 'mapImport', { params: { id: staged.id }, body: { mapping: staged.mapping } }));
  expect(both).toEqual(staged);
}, 120_000);

test('the office answers another question while 50,000 rows are turned into edits', async () => {
  const { owner } = stood.office;
  const listening = new AbortController();
  const events = await owner.fetch(`${owner.base}/api/events`, {
    headers: { ...owner.headers },
    signal: listening.signal,
  });
  const reader = events.body?.pipeThrough(new TextDecoderStream()).getReader();
  /** Until the rows of the question of this name are gone through. */
  const begun = async (asked: string) => {
    let text = '';
    for (;;) {
      text += (await reader?.read())?.value ?? '';
      const heard = [...text.matchAll(/^data: (.*)$/gm)].map((m) => deskEvent.parse(JSON.parse(m[1] ?? '')));
      if (heard.some((e) => e.kind === 'progress' && e.asked === asked)) return;
    }
  };
  const named = (asked: string) => ({ ...owner, headers: { ...owner.headers, [ASKED]: asked } });
  const order: string[] = [];
  const meanwhile = async (asked: string, answer: Promise<Staged>) => {
    const last = answer.then((staged) => {
      order.push(asked);
      return staged;
    });
    await begun(asked);
    await given(call(owner, 'me', {}));
    order.push(`another during ${asked}`);
    return last;
  };
  const file = rosterOf(50_000);
  const staged = await meanwhile(
    'stage',
    given(call(named('stage'), 'stageImport', { query: { name: 'large.csv' }, file })),
  );
  const { id, mapping } = staged;
  const again = await meanwhile('map', given(call(named('map'), 'mapImport', { params: { id }, body: { mapping } })));
  expect(order).toEqual(['another during stage', 'stage', 'another during map', 'map']);
  expect(again).toEqual(staged);
  expect(staged.editCount).toBe(100_000);
  listening.abort();
}, 120_000);
