import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import { connectOwner, type Place, quoted } from './database.ts';

const folder = fileURLToPath(new URL('./migrations/', import.meta.url));

/** Brings the schema to the newest migration: each in order, all in one transaction, one hub at a time. Returns the count applied. */
export async function migrate(place: Place): Promise<Result<number, Problem>> {
  const owner = await connectOwner(place);
  if (!owner.ok) return owner;
  const client = owner.value;
  const schema = quoted(place.schema);
  try {
    await client.query('begin');
    // Roles belong to the whole server, so hubs that share one take turns.
    await client.query("select pg_advisory_xact_lock(hashtext('fillwright migrate'))");
    await client.query(`create schema if not exists ${schema}`);
    await client.query(`set local search_path = ${schema}`);
    await client.query('create table if not exists migration (number int primary key, name text not null)');
    const done = new Set((await client.query('select number from migration')).rows.map((r) => r.number as number));
    let count = 0;
    for (const name of readdirSync(folder)
      .filter((f) => f.endsWith('.sql'))
      .sort()) {
      const number = Number.parseInt(name, 10);
      if (done.has(number)) continue;
      const sql = readFileSync(`${folder}/${name}`, 'utf8')
        .replaceAll(':schema', schema)
        .replaceAll(':app', quoted(place.role))
        .replaceAll(':lookup', quoted(`${place.schema}_lookup`));
      await client.query(sql);
      await client.query('insert into migration values ($1, $2)', [number, name]);
      count++;
    }
    await client.query('commit');
    return ok(count);
  } catch (cause) {
    await client.query('rollback').catch(() => undefined);
    return err(
      problem('FW-503', {
        cause: 'The database cannot be brought to the form that this version needs.',
        mend: 'Give its user the right to make a schema and roles, then start again.',
        found: String(cause).slice(0, 500),
      }),
    );
  } finally {
    await client.end();
  }
}
