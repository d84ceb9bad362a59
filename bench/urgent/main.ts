import { fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join as path } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Edit, newRow } from '@fillwright/core/fleet';
import { startHub } from '@fillwright/hub';
import { type Caller, call, oneWordForAll } from '@fillwright/wire';
import { pino } from 'pino';
import { startBoxes } from './boxes.ts';

/**
 * From the click that stops a card until the office knows that a site has it, over many whole boxes: office, its database, its broker in this
 * process, every box of them in a second one, or with `one` in this one too. `npx tsx bench/urgent/main.ts [boxes] [stops] [one]`; the goal is p99
 * of at most 2 s at 200 boxes. Processor time is told apart: an office has its machine to itself, and each box has its own.
 */
const BOXES = Number(process.argv[2] ?? 200);
const STOPS = Number(process.argv[3] ?? 5);
const IN_ONE = process.argv[4] === 'one';
const folder = mkdtempSync(path(tmpdir(), 'fillwright-urgent-'));
const log = pino({ level: 'silent' });

function must<T>(done: { ok: true; value: T } | { ok: false; error: unknown }): T {
  if (done.ok) return done.value;
  throw new Error(JSON.stringify(done.error));
}

async function until(what: string, holds: () => Promise<boolean>, ms = 300_000): Promise<void> {
  for (const end = Date.now() + ms; !(await holds()); ) {
    if (Date.now() > end) throw new Error(`it did not come to: ${what}`);
    // The office notes when it hears; asking it more often would only take its time.
    await new Promise((resolve) => setTimeout(resolve, 1_000));
  }
}

const put = (table: Parameters<typeof newRow>[0], row: { id: string } & Record<string, unknown>): Edit => ({
  op: 'put',
  table,
  row: { ...newRow(table, row as never) },
});
const sites = Array.from({ length: BOXES }, (_, i) => `yard-${i + 1}`);
const edits: Edit[] = [
  put('products', { id: 'diesel', name: 'Diesel', kind: 'diesel', short: 'DIESEL' }),
  put('allowances', { id: 'daily', name: 'Daily', products: ['diesel'], perDay: 300_000_000 }),
  put('prices', { id: 'price', product: 'diesel', site: null, from: '2026-01-01', price: 40_000 }),
  ...Array.from({ length: STOPS }, (_, i) => [
    put('drivers', { id: `d${i}`, name: `Driver ${i}`, number: String(i), allowances: ['daily'] }),
    put('credentials', { id: `c${i}`, number: String(1000 + i), driver: `d${i}` }),
  ]).flat(),
  ...sites.flatMap((s) => [
    put('sites', { id: s, name: s, zone: 'America/Denver', address: '1 Quarry Road', identify: 'driver', pin: false }),
    put('islands', { id: `${s}-i`, site: s, name: 'Island' }),
    put('tanks', { id: `${s}-t`, site: s, name: 'Tank', product: 'diesel', capacity: 30_000_000_000 }),
    put('pumps', { id: `${s}-p`, site: s, name: 'Pump', tanks: [`${s}-t`] }),
    put('terminals', { id: `${s}-k`, site: s, island: `${s}-i`, name: 'Terminal' }),
    put('hoses', {
      id: `${s}-h`,
      site: s,
      number: 1,
      island: `${s}-i`,
      pump: `${s}-p`,
      terminals: [`${s}-k`],
      product: 'diesel',
    }),
  ]),
];

const hub = must(await startHub({ dataDir: path(folder, 'office'), port: 0, host: '127.0.0.1', log }));
const stops: (() => Promise<void>)[] = [() => hub.stop()];
try {
  const first = await fetch(`${hub.url}/api/office/owner`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({
      fleetName: 'Bench',
      units: 'us',
      currency: 'USD',
      name: 'Ada Quill',
      email: 'ada@example.test',
      password: 'seven blue lorries',
    }),
  });
  const cookie = (first.headers.get('set-cookie') ?? '').split(';')[0] ?? '';
  const owner: Caller = { base: hub.url, fetch, headers: { cookie } };
  const { version } = must(await call(owner, 'draft', {}));
  must(await call(owner, 'editDraft', { body: { version, edits } }));
  const preview = must(await call(owner, 'releasePreview', {}));
  const words = oneWordForAll(preview, must(await call(owner, 'releaseStands', {})), 'meant so');
  must(await call(owner, 'release', { body: { version: preview.version, note: '', words } }));

  const codes: [string, string][] = [];
  for (const site of sites) codes.push([site, must(await call(owner, 'joinCode', { params: { site } })).code]);
  const wish = { url: hub.url, folder, codes };
  const child = IN_ONE
    ? undefined
    : fork(fileURLToPath(new URL('./boxes.ts', import.meta.url)), { execArgv: ['--import', 'tsx'] });
  if (child) {
    stops.push(async () => {
      child.send('end');
      await once(child, 'exit');
    });
    child.send(wish);
    await once(child, 'message');
  } else stops.push(await startBoxes(wish));
  /** Milliseconds of the processor so far: of this process, and of the boxes' own. */
  const processor = async () => {
    const of = ({ user, system }: NodeJS.CpuUsage) => (user + system) / 1_000;
    if (!child) return { here: of(process.cpuUsage()), there: 0 };
    child.send('time');
    const [there] = (await once(child, 'message')) as [NodeJS.CpuUsage];
    return { here: of(process.cpuUsage()), there: of(there) };
  };
  await until('every box runs the release', async () =>
    must(await call(owner, 'sites', {})).every((s) => s.running === 1 && s.link === 'here'),
  );

  const began = await processor();
  const took: number[] = [];
  const calls: number[] = [];
  for (let i = 0; i < STOPS; i++) {
    const clicked = Date.now();
    const stop = must(await call(owner, 'stopCredential', { params: { id: `c${i}` }, body: { reason: 'lost' } }));
    calls.push(Date.now() - clicked);
    let got: number[] = [];
    await until('every box has it', async () => {
      const now = must(await call(owner, 'stops', {})).find((s) => s.id === stop.id);
      got = (now?.sites ?? []).flatMap((s) => (s.gotAt === null ? [] : [s.gotAt]));
      return got.length === BOXES;
    });
    took.push(...got.map((at) => at - clicked));
  }
  const ended = await processor();
  took.sort((a, b) => a - b);
  const at = (share: number) => took[Math.min(took.length - 1, Math.ceil(share * took.length) - 1)];
  console.log(
    `${BOXES} boxes in ${IN_ONE ? 'the office’s process' : 'a process of their own'}, ${STOPS} stops: click to acknowledged p50 ${at(0.5)} ms, p99 ${at(0.99)} ms, worst ${took.at(-1)} ms; the click itself answered after ${Math.max(...calls)} ms at worst; processor a stop: office ${Math.round((ended.here - began.here) / STOPS)} ms${IN_ONE ? ' with all boxes' : `, all boxes ${Math.round((ended.there - began.there) / STOPS)} ms`}`,
  );
} finally {
  for (const stop of stops.reverse()) await stop();
  rmSync(folder, { recursive: true, force: true });
}
process.exit(0);
