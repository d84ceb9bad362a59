import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Caller, call } from '@fillwright/wire';
import pg from 'pg';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { type Hub, startHub } from '../hub.ts';
import { placeOf } from '../store/database.ts';
import { type Engine, startEngine } from '../store/engine.ts';
import { makeFolder } from '../store/folder.ts';
import { fillDraft, given, openOffice, quiet, type TestOffice } from '../testing/office.ts';
import { MOST_UNTOLD, openAcross } from './across.ts';

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

/** Two ends without a hub: what the second hears of the first, and a way to cut the first's line. */
async function openEnds() {
  const place = { ...placeOf(engine.url, 'bare_ends'), role: new URL(engine.url).username };
  const heard: string[] = [];
  let atLoss = () => {};
  const teller = await openAcross({
    ...{ place, self: 'teller', heard: () => undefined, missed: () => undefined },
    warn: () => atLoss(),
  });
  const hearer = await openAcross({
    ...{ place, self: 'hearer', warn: (words) => heard.push(words), missed: () => heard.push('anew') },
    heard: ({ event }) => heard.push(event.kind === 'tank' ? event.tank : event.kind),
  });
  const owner = new pg.Client({ connectionString: engine.url });
  await owner.connect();
  const lines = await owner.query<{ pid: number }>(
    "select pid from pg_stat_activity where application_name = 'bare_ends_desks' order by backend_start",
  );
  const cut = () =>
    owner.query(
      "select pg_terminate_backend(pid) from pg_stat_activity where application_name = 'bare_ends_desks' and pid <> $1",
      [lines.rows[1]?.pid],
    );
  return {
    heard,
    tell: (tank: number) => teller.tell({ fleet: 'f', event: { kind: 'tank', tank: `t${tank}` } }),
    /** Only the server knows yet that the line is cut. */
    cut,
    /** Does `work` as soon as the teller knows, too, and before it dials again. */
    async whileCut(work: () => void) {
      const done = new Promise<void>((resolve) => {
        atLoss = () => {
          work();
          resolve();
        };
      });
      await cut();
      await done;
    },
    async stop() {
      await teller.stop();
      await hearer.stop();
      await owner.end();
    },
  };
}

test('what is told while the line is cut is heard when it stands again, in order and nothing else', async () => {
  const ends = await openEnds();
  try {
    for (let round = 0; round < 3; round++) {
      await ends.whileCut(() => {
        for (let n = 0; n < 20; n++) ends.tell(20 * round + n);
      });
      await vi.waitFor(() => expect(ends.heard).toHaveLength(20 * (round + 1)), 20_000);
    }
    expect(ends.heard).toEqual(Array.from({ length: 60 }, (_, n) => `t${n}`));
  } finally {
    await ends.stop();
  }
});

test('a line that is cut again and again while news goes over it loses none', async () => {
  const ends = await openEnds();
  try {
    for (let n = 0; n < 120; n++) {
      ends.tell(n);
      if (n % 40 === 20) await ends.cut();
    }
    await vi.waitFor(() => expect(new Set(ends.heard).size).toBe(120), 20_000);
    // What was on its way when the line was cut may come twice; it never overtakes.
    expect([...new Set(ends.heard)]).toEqual(Array.from({ length: 120 }, (_, n) => `t${n}`));
  } finally {
    await ends.stop();
  }
});

test('of more news than is kept, the other process hears that it should look anew, and then what came after', async () => {
  const ends = await openEnds();
  try {
    await ends.whileCut(() => {
      for (let n = 0; n <= MOST_UNTOLD; n++) ends.tell(n);
      ends.tell(7_777);
    });
    await vi.waitFor(() => expect(ends.heard).toContain('t7777'), 20_000);
    expect(ends.heard).toEqual(['anew', 't7777']);
  } finally {
    await ends.stop();
  }
});
