import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { applyEdits, type Edit, emptyFleet, type Fleet, newRow } from '@fillwright/core/fleet';
import { type Caller, call, type Me, oneWordForAll } from '@fillwright/wire';
import { pino } from 'pino';
import { type Hub, startHub } from '../hub.ts';
import { type Database, openDatabase, placeOf } from '../store/database.ts';
import { startEngine } from '../store/engine.ts';
import { makeFolder } from '../store/folder.ts';

/** A hub of its own for a test file, with a clock that the test sets. */
export interface TestOffice {
  readonly hub: Hub;
  readonly clock: { at: number };
  /** Signed in as the first owner. */
  readonly owner: Caller;
  readonly me: Me;
  signIn(email: string, password: string): Promise<Caller | string>;
  stop(): Promise<void>;
}

export const PASSWORD = 'seven blue lorries';
export const quiet = pino({ level: process.env.HUB_LOG ?? 'silent' });

/** Calls a route by hand and keeps the cookie that comes back. */
async function signed(
  base: string,
  path: string,
  body: unknown,
): Promise<{ status: number; caller: Caller; json: unknown }> {
  const response = await fetch(base + path, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  });
  const cookie = (response.headers.get('set-cookie') ?? '').split(';')[0] ?? '';
  return { status: response.status, caller: { base, fetch, headers: { cookie } }, json: await response.json() };
}

export async function openOffice(options: { databaseUrl?: string; schema?: string } = {}): Promise<TestOffice> {
  const folder = mkdtempSync(join(tmpdir(), 'fillwright-hub-'));
  const clock = { at: Date.UTC(2026, 5, 1, 12) };
  const started = await startHub({
    dataDir: join(folder, 'data'),
    port: 0,
    host: '127.0.0.1',
    log: quiet,
    now: () => clock.at,
    ...options,
  });
  if (!started.ok) throw new Error(`${started.error.code} ${started.error.cause} ${started.error.found ?? ''}`);
  const hub = started.value;
  const first = await signed(hub.url, '/api/office/owner', {
    fleetName: 'Brook Haulage',
    units: 'us',
    currency: 'USD',
    name: 'Ada Quill',
    email: 'ada@example.test',
    password: PASSWORD,
  });
  return {
    hub,
    clock,
    owner: first.caller,
    me: first.json as Me,
    signIn: async (email, password) => {
      const done = await signed(hub.url, '/api/session', { email, password });
      return done.status === 200 ? done.caller : (done.json as { error: { code: string } }).error.code;
    },
    stop: async () => {
      await hub.stop();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** The same with its database at hand, for what no route writes. `url`: of the engine's own user. */
export async function openOfficeAndDatabase(): Promise<{
  office: TestOffice;
  db: Database;
  url: string;
  stop(): Promise<void>;
}> {
  const folder = mkdtempSync(join(tmpdir(), 'fillwright-db-'));
  const made = makeFolder(folder);
  const engine = made.ok ? await startEngine(made.value, () => undefined) : made;
  if (!engine.ok) throw new Error(JSON.stringify(engine.error));
  const office = await openOffice({ databaseUrl: engine.value.url, schema: 'fillwright' });
  const db = openDatabase(placeOf(engine.value.url, 'fillwright'), () => undefined);
  return {
    office,
    db,
    url: engine.value.url,
    async stop() {
      await db.stop();
      await office.stop();
      await engine.value.stop();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** The value of a call that must come right. */
export async function given<T>(answer: Promise<{ ok: true; value: T } | { ok: false; error: unknown }>): Promise<T> {
  const done = await answer;
  if (!done.ok) throw new Error(JSON.stringify(done.error));
  return done.value;
}

const L = 1_000_000;

/** A small yard that may be released: one site, two manifolded tanks, one hose, one driver with a vehicle. */
export function smallFleet(): Edit[] {
  const put = (table: Parameters<typeof newRow>[0], row: { id: string } & Record<string, unknown>): Edit => ({
    op: 'put',
    table,
    row: { ...newRow(table, row as never) },
  });
  return [
    put('products', { id: 'diesel', name: 'Diesel', kind: 'diesel', short: 'DIESEL' }),
    put('sites', { id: 'north', name: 'North yard', zone: 'America/Denver', address: '1 Quarry Road' }),
    put('islands', { id: 'i1', site: 'north', name: 'Island 1' }),
    put('tanks', { id: 't1', site: 'north', name: 'Tank 1', product: 'diesel', capacity: 30_000 * L }),
    put('tanks', { id: 't2', site: 'north', name: 'Tank 2', product: 'diesel', capacity: 10_000 * L }),
    put('pumps', { id: 'p1', site: 'north', name: 'Pump 1', tanks: ['t1', 't2'] }),
    put('terminals', { id: 'k1', site: 'north', island: 'i1', name: 'Terminal 1' }),
    put('hoses', {
      id: 'h1',
      site: 'north',
      number: 1,
      island: 'i1',
      pump: 'p1',
      terminals: ['k1'],
      product: 'diesel',
    }),
    put('prices', { id: 'pr1', product: 'diesel', site: null, from: '2026-01-01', price: 40_000 }),
    put('costCentres', { id: 'roads', name: 'Roads', code: '10' }),
    put('allowances', { id: 'daily', name: 'Daily', products: ['diesel'], perDay: 300 * L }),
    put('drivers', { id: 'd1', name: 'Bo Finch', number: '7', allowances: ['daily'] }),
    put('vehicles', { id: 'v1', name: 'Lorry 1', plate: 'QX 1', costCentre: 'roads', capacity: 400 * L }),
    put('credentials', { id: 'c1', number: '1001', driver: 'd1' }),
    put('credentials', { id: 'c2', number: '2001', vehicle: 'v1' }),
  ];
}

export function fleetOf(edits: readonly Edit[]): Fleet {
  const made = applyEdits(emptyFleet({ name: 'Brook Haulage', units: 'us', currency: 'USD' }), edits);
  if (!made.ok) throw new Error(JSON.stringify(made.error));
  return made.value;
}

/** Puts the small yard into the draft; returns the version. */
export async function fillDraft(office: TestOffice): Promise<number> {
  const { version } = await given(call(office.owner, 'draft', {}));
  return (await given(call(office.owner, 'editDraft', { body: { version, edits: smallFleet() } }))).version;
}

/** Releases the draft as it stands, with a word for every warning. */
export async function releaseDraft(office: TestOffice): Promise<number> {
  const preview = await given(call(office.owner, 'releasePreview', {}));
  const stands = await given(call(office.owner, 'releaseStands', {}));
  const words = oneWordForAll(preview, stands, 'meant so');
  return (
    await given(call(office.owner, 'release', { body: { version: preview.version, note: 'by the test', words } }))
  ).number;
}
