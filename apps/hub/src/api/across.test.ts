import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Caller, call } from '@fillwright/wire';
import pg from 'pg';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type Hub, startHub } from '../hub.ts';
import { type Engine, startEngine } from '../store/engine.ts';
import { makeFolder } from '../store/folder.ts';
import { fillDraft, given, openOffice, quiet, type TestOffice } from '../testing/office.ts';

const folder = mkdtempSync(join(tmpdir(), 'fillwright-across-'));
let engine: Engine;
let one: TestOffice;
let other: Hub;
/** The same person at the other process. */
let there: Caller;

beforeAll(async () => {
  const made = makeFolder(join(folder, 'engine'));
  const started = made.ok ? await startEngine(made.value, () => undefined) : made;
  if (!started.ok) throw new Error(started.error.cause);
  engine = started.value;
  one = await openOffice({ databaseUrl: engine.url, schema: 'two_hubs' });
  const second = await startHub({
    ...{ dataDir: join(folder, 'second'), port: 0, host: '127.0.0.1', log: quiet, now: () => one.clock.at },
    ...{ databaseUrl: engine.url, schema: 'two_hubs' },
  });
  if (!second.ok) throw new Error(second.error.cause);
  other = second.value;
  there = { ...one.owner, base: other.url };
});
afterAll(async () => {
  await other?.stop();
  await one?.stop();
  await engine?.stop();
  rmSync(folder, { recursive: true, force: true });
});

/** What a desk hears from its office: the text until it holds `words`, or until the line ends. */
async function listen(at: Caller): Promise<(words: string) => Promise<string>> {
  const response = await fetch(`${at.base}/api/events`, { headers: at.headers ?? {} });
  const reader = response.body?.getReader();
  let text = '';
  return async (words) => {
    while (!text.includes(words)) {
      const part = await reader?.read();
      if (!part || part.done) return `${text}(ended)`;
      text += Buffer.from(part.value).toString();
    }
    return text;
  };
}

test('what one process of the office tells, a desk at another hears', async () => {
  const heard = await listen(there);
  await fillDraft(one);
  expect(await heard('"draft"')).toContain('"version":1');
});

test('a file that was read at one process is taken in at another', async () => {
  const csv = new TextEncoder().encode('Driver name,Card no\nCy Marsh,3001\n');
  const staged = await given(call(one.owner, 'stageImport', { query: { name: 'people.csv' }, file: csv }));
  const { version } = await given(call(there, 'draft', {}));
  const done = await given(call(there, 'applyImport', { params: { id: staged.id }, body: { version } }));
  expect(done.version).toBe(version + 1);
  const again = await call(one.owner, 'applyImport', { params: { id: staged.id }, body: { version: done.version } });
  expect(again).toMatchObject({ ok: false, error: { problem: { code: 'FW-111' } } });
});

test('a line that was cut stands again, and desks are made to ask everything once more', async () => {
  const heard = await listen(there);
  await heard(': here');
  const owner = new pg.Client({ connectionString: engine.url });
  await owner.connect();
  const cut = await owner.query(
    "select pg_terminate_backend(pid) from pg_stat_activity where application_name = 'two_hubs_desks'",
  );
  expect(cut.rowCount).toBe(2);
  await owner.end();
  expect(await heard('never said')).toContain('(ended)');
  const anew = await listen(there);
  await anew(': here');
  // The other process's line may stand a moment later than this one's: say it until it is heard.
  const said = setInterval(async () => {
    const { version } = await given(call(one.owner, 'draft', {}));
    await call(one.owner, 'editDraft', {
      body: { version, edits: [{ op: 'settings', fields: { name: `Fleet ${version}` } }] },
    });
  }, 300);
  try {
    expect(await anew('"draft"')).toContain('"kind":"draft"');
  } finally {
    clearInterval(said);
  }
});
