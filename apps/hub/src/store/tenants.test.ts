import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Database, openDatabase, type Place, placeOf, quoted } from './database.ts';
import { type Engine, startEngine } from './engine.ts';
import { makeFolder } from './folder.ts';
import { migrate } from './migrate.ts';

/** The machine's own server, where there is one: in CI there must be. */
const MACHINE = process.env.FILLWRIGHT_TEST_DATABASE ?? 'postgres://postgres@127.0.0.1:5432/postgres';
const MIGRATIONS = readdirSync(new URL('./migrations/', import.meta.url)).length;
const schema = `fw_test_${process.pid}_${Math.floor(process.hrtime()[1])}`;

interface Column {
  readonly tbl: string;
  readonly name: string;
  readonly type: string;
  readonly needed: boolean;
}

/** One row of a table for a fleet, made from its columns alone. Values are ones that checks and foreign keys of the schema allow. */
function rowFor(columns: readonly Column[], fleet: string): Record<string, unknown> {
  const words: Record<string, string> = {
    role: 'owner',
    kind: 'dip',
    state: 'ended',
    link: 'here',
    verdict: 'good',
    email: `${fleet}@example.test`,
  };
  const row: Record<string, unknown> = {};
  for (const { tbl, name, type, needed } of columns) {
    if (!needed && name !== 'to_version') continue;
    if (name === 'to_version') continue;
    if (name === 'fleet') row[name] = fleet;
    else if (type === 'text') row[name] = name === 'kind' && tbl !== 'tank_move' ? 'edit' : (words[name] ?? 'x');
    else if (type === 'jsonb') row[name] = '{}';
    else if (type === 'boolean') row[name] = true;
    else row[name] = 1;
  }
  return row;
}

const insertSql = (tbl: string, row: Record<string, unknown>) => ({
  sql: `insert into ${quoted(tbl)} (${Object.keys(row).map(quoted).join(', ')}) values (${Object.keys(row)
    .map((_, i) => `$${i + 1}`)
    .join(', ')})`,
  values: Object.values(row),
});

async function columnsOf(client: pg.Client): Promise<Map<string, Column[]>> {
  const { rows } = await client.query<Column>(
    `select table_name as tbl, column_name as name, data_type as type,
       is_nullable = 'NO' and column_default is null and is_identity = 'NO' as needed
     from information_schema.columns where table_schema = $1 and table_name <> 'migration' order by ordinal_position`,
    [schema],
  );
  const tables = new Map<string, Column[]>();
  for (const c of rows) tables.set(c.tbl, [...(tables.get(c.tbl) ?? []), c]);
  return tables;
}

/** Tables in an order in which a row finds those that it refers to. */
const FIRST = ['fleet', 'account', 'release', 'stop', 'tank_move', 'account_period', 'worksheet'];
/** What is closed: the hub's role may add to these, and neither change nor remove, not even its own. */
const CLOSED = new Set(['account_period', 'account_taken', 'account_correction']);
const inOrder = (tables: Map<string, Column[]>) =>
  [...tables].sort(([a], [b]) => (FIRST.indexOf(a) + 1 || 99) - (FIRST.indexOf(b) + 1 || 99));

const message = (work: Promise<unknown>): Promise<string> =>
  work.then(
    () => 'nothing',
    (e: Error) => e.message,
  );

async function wallsHold(place: Place): Promise<void> {
  const owner = new pg.Client({ connectionString: place.url });
  await owner.connect();
  const db: Database = openDatabase(place, () => undefined);
  try {
    await owner.query(`set search_path = ${quoted(place.schema)}`);
    const tables = inOrder(await columnsOf(owner));
    expect(tables.length).toBeGreaterThan(18);
    for (const fleet of ['ours', 'theirs'])
      for (const [tbl, columns] of tables) {
        const { sql, values } = insertSql(tbl, rowFor(columns, fleet));
        await db.as(fleet, (tx) => tx.rows(sql, values));
      }
    for (const [tbl, columns] of tables) {
      const name = quoted(tbl);
      // Own: exactly the own row is seen, whatever the query asks for.
      expect(await db.as('ours', (tx) => tx.rows(`select fleet from ${name}`)), tbl).toEqual([{ fleet: 'ours' }]);
      // Other: nothing of it is seen, changed or taken away, and nothing is put in its name.
      const others = `where fleet = 'theirs'`;
      expect(await db.as('ours', (tx) => tx.rows(`select 1 from ${name} ${others}`)), tbl).toEqual([]);
      for (const sql of [
        `update ${name} set fleet = fleet ${others} returning 1`,
        `delete from ${name} ${others} returning 1`,
      ])
        if (CLOSED.has(tbl))
          expect(await message(db.as('ours', (tx) => tx.rows(sql))), tbl).toMatch(/permission denied/);
        else expect(await db.as('ours', (tx) => tx.rows(sql)), tbl).toEqual([]);
      const foreign = insertSql(tbl, {
        ...rowFor(columns, 'theirs'),
        ...(tbl === 'account' ? { email: 'n@example.test' } : {}),
      });
      expect(await message(db.as('ours', (tx) => tx.rows(foreign.sql, foreign.values))), tbl).toMatch(
        /row-level security/,
      );
      expect(await message(db.as('ours', (tx) => tx.rows(`update ${name} set fleet = 'theirs'`))), tbl).toMatch(
        CLOSED.has(tbl) ? /permission denied/ : /row-level security/,
      );
      // No tenant: every verb is an error.
      for (const sql of [`select * from ${name}`, `update ${name} set fleet = fleet`, `delete from ${name}`])
        expect(await message(db.lookUp((tx) => tx.rows(sql))), `${tbl}: ${sql}`).toMatch(
          CLOSED.has(tbl) && !sql.startsWith('select') ? /permission denied/ : /no tenant is set/,
        );
      const own = insertSql(tbl, {
        ...rowFor(columns, 'ours'),
        ...(tbl === 'account' ? { email: 'o@example.test' } : {}),
      });
      expect(await message(db.lookUp((tx) => tx.rows(own.sql, own.values))), tbl).toMatch(/no tenant is set/);
      if (CLOSED.has(tbl)) continue;
      // Own again: the own row can be changed.
      expect(
        await db.as('ours', (tx) => tx.rows(`update ${name} set fleet = fleet returning fleet`)),
        tbl,
      ).toHaveLength(1);
    }
    // A fleet with something closed stays with it; everything else of one's own can be taken away.
    expect(await message(db.as('ours', (tx) => tx.rows('delete from fleet')))).toMatch(/foreign key/);
    for (const [tbl] of [...tables].reverse().filter(([t]) => t !== 'fleet' && !CLOSED.has(t)))
      expect(await db.as('ours', (tx) => tx.rows(`delete from ${quoted(tbl)} returning fleet`)), tbl).toEqual([
        { fleet: 'ours' },
      ]);
    for (const [tbl] of tables)
      expect(await db.as('theirs', (tx) => tx.rows(`select fleet from ${quoted(tbl)}`)), tbl).toEqual([
        { fleet: 'theirs' },
      ]);
    await theRoleIsPoor(owner, place);
  } finally {
    await db.stop();
    await owner.end();
  }
}

async function theRoleIsPoor(owner: pg.Client, place: Place): Promise<void> {
  const { rows } = await owner.query(
    `select rolsuper, rolbypassrls, rolcreaterole, rolcreatedb,
       (select count(*)::int from pg_class where relowner = r.oid) as owns from pg_roles r where rolname = any($1)`,
    [[place.role, `${place.schema}_lookup`]],
  );
  for (const row of rows)
    expect(row).toEqual({ rolsuper: false, rolbypassrls: false, rolcreaterole: false, rolcreatedb: false, owns: 0 });
  expect(rows).toHaveLength(2);
  const walls = await owner.query(
    `select relname from pg_class c join pg_namespace n on n.oid = relnamespace where nspname = $1 and relkind = 'r'
       and relname <> 'migration' and not (relrowsecurity and relforcerowsecurity)`,
    [place.schema],
  );
  expect(walls.rows).toEqual([]);
}

describe('on the database that comes with Fillwright', () => {
  let engine: Engine;
  let folder: string;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'fillwright-tenants-'));
    const made = makeFolder(folder);
    const started = made.ok ? await startEngine(made.value, () => undefined) : made;
    if (!started.ok) throw new Error(JSON.stringify(started.error));
    engine = started.value;
  });
  afterAll(async () => {
    await engine?.stop();
    rmSync(folder, { recursive: true, force: true });
  });

  test('table by table, verb by verb, no fleet reaches another', async () => {
    const place = placeOf(engine.url, schema);
    expect(await migrate(place)).toEqual({ ok: true, value: MIGRATIONS });
    expect(await migrate(place)).toEqual({ ok: true, value: 0 });
    await wallsHold(place);
  });
});

const probe = new pg.Client({ connectionString: MACHINE, connectionTimeoutMillis: 10_000 });
probe.on('error', () => undefined);
const reachable = await probe.connect().then(
  () => true,
  () => false,
);
await probe.end().catch(() => undefined);

describe.skipIf(!reachable && process.env.CI !== 'true')('on a server of one’s own', () => {
  test('table by table, verb by verb, no fleet reaches another', async () => {
    const place = placeOf(MACHINE, schema);
    try {
      // Two hubs that start at once bring the schema up once.
      const both = await Promise.all([migrate(place), migrate(place)]);
      expect(both.map((b) => b.ok && b.value).sort()).toEqual([0, MIGRATIONS]);
      await wallsHold(place);
    } finally {
      const owner = new pg.Client({ connectionString: MACHINE });
      await owner.connect();
      await owner.query(`drop schema if exists ${schema} cascade`);
      for (const role of [`${schema}_app`, `${schema}_lookup`]) await owner.query(`drop role if exists ${role}`);
      await owner.end();
    }
  });
});
