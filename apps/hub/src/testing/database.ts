import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { writeSettings } from '../draft/rows.ts';
import { type Database, openDatabase, placeOf } from '../store/database.ts';
import { startEngine } from '../store/engine.ts';
import { makeFolder } from '../store/folder.ts';
import { migrate } from '../store/migrate.ts';

export interface TestDatabase {
  readonly db: Database;
  /** A fleet of its own with nothing in it. */
  newFleet(): Promise<string>;
  stop(): Promise<void>;
}

/** A PostgreSQL with the schema and no hub before it. */
export async function openTestDatabase(): Promise<TestDatabase> {
  const folder = mkdtempSync(join(tmpdir(), 'fillwright-db-'));
  const made = makeFolder(folder);
  const engine = made.ok ? await startEngine(made.value, () => undefined) : made;
  if (!engine.ok) throw new Error(JSON.stringify(engine.error));
  const place = placeOf(engine.value.url, 'fillwright');
  const migrated = await migrate(place);
  if (!migrated.ok) throw new Error(JSON.stringify(migrated.error));
  const db = openDatabase(place, () => undefined);
  let count = 0;
  return {
    db,
    async newFleet() {
      const fleet = `fleet-${++count}`;
      await db.as(fleet, async (tx) => {
        await tx.rows('insert into fleet (fleet, created_at, version) values ($1, 0, 0)', [fleet]);
        await writeSettings(tx, fleet, { name: 'Brook Haulage', units: 'us', currency: 'USD' });
      });
      return fleet;
    },
    async stop() {
      await db.stop();
      await engine.value.stop();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
