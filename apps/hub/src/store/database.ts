import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import pg from 'pg';

// Ledger quantities are whole numbers within 2^53; the driver would give text for 64-bit columns.
const types = {
  getTypeParser: (oid: number, format?: 'text' | 'binary') =>
    oid === 20 ? (text: string) => exact(text) : pg.types.getTypeParser(oid, format as 'text'),
};
function exact(text: string): number {
  const n = Number(text);
  if (!Number.isSafeInteger(n)) throw new RangeError(`${text} is beyond exact whole numbers`);
  return n;
}

type Row = Record<string, unknown>;

/** Runs statements inside one transaction. */
export interface Tx {
  /** The rows that a statement gives. */
  rows<T extends object = Row>(sql: string, values?: readonly unknown[]): Promise<T[]>;
  /** Its first row, or undefined. */
  row<T extends object = Row>(sql: string, values?: readonly unknown[]): Promise<T | undefined>;
}

export interface Database {
  /** One transaction as `fleet`: row-level security lets nothing of another fleet through, even where a query forgets to ask. */
  as<T>(fleet: string, work: (tx: Tx) => Promise<T>): Promise<T>;
  /** One transaction without a tenant: only the narrow look-up functions answer. */
  lookUp<T>(work: (tx: Tx) => Promise<T>): Promise<T>;
  stop(): Promise<void>;
}

export interface Place {
  readonly url: string;
  readonly schema: string;
  /** The role that every query runs as: it owns nothing. */
  readonly role: string;
}

export const placeOf = (url: string, schema: string): Place => ({ url, schema, role: `${schema}_app` });

export const quoted = (name: string): string => `"${name.replaceAll('"', '""')}"`;

export function openDatabase(place: Place, onError: (e: Error) => void): Database {
  const pool = new pg.Pool({
    connectionString: place.url,
    max: 8,
    types,
    options: `-c role=${place.role} -c search_path=${place.schema}`,
    allowExitOnIdle: true,
  });
  pool.on('error', onError);
  const transaction = async <T>(fleet: string | undefined, work: (tx: Tx) => Promise<T>): Promise<T> => {
    const client = await pool.connect();
    try {
      await client.query('begin');
      await client.query("select set_config('fillwright.fleet', $1, true)", [fleet ?? '']);
      const value = await work(txOf(client));
      await client.query('commit');
      client.release();
      return value;
    } catch (cause) {
      await client.query('rollback').then(
        () => client.release(),
        (e: Error) => client.release(e),
      );
      throw cause;
    }
  };
  return {
    as: (fleet, work) => transaction(fleet, work),
    lookUp: (work) => transaction(undefined, work),
    stop: () => pool.end(),
  };
}

const txOf = (client: pg.ClientBase): Tx => ({
  rows: async <T extends object>(sql: string, values: readonly unknown[] = []) =>
    (await client.query(sql, values as unknown[])).rows as T[],
  row: async <T extends object>(sql: string, values: readonly unknown[] = []) =>
    (await client.query(sql, values as unknown[])).rows[0] as T | undefined,
});

/** A connection as the owner, for migrations only. */
export async function connectOwner(place: Place): Promise<Result<pg.Client, Problem>> {
  const client = new pg.Client({ connectionString: place.url, types });
  client.on('error', () => undefined);
  try {
    await client.connect();
    return ok(client);
  } catch (cause) {
    return err(problem('FW-503', { found: String(cause) }));
  }
}
