import { randomUUID } from 'node:crypto';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import type { Logger } from 'pino';
import { openDesks } from './api/events.ts';
import { handlers } from './api/handlers.ts';
import { buildServer } from './api/server.ts';
import type { App } from './app.ts';
import { openDrafts } from './draft/drafts.ts';
import { openDatabase, placeOf } from './store/database.ts';
import { startEngine } from './store/engine.ts';
import { makeFolder } from './store/folder.ts';
import { holdFolder } from './store/hold.ts';
import { migrate } from './store/migrate.ts';

export interface HubOptions {
  /** Keys, and the database unless there is one at `databaseUrl`. */
  readonly dataDir: string;
  /** 0 takes any free one. */
  readonly port: number;
  readonly host: string;
  readonly databaseUrl?: string | undefined;
  /** The schema in that database; its roles are named after it. Letters, digits and underscores. */
  readonly schema?: string | undefined;
  /** The built desk. */
  readonly deskDir?: string | undefined;
  readonly log: Logger;
  readonly now?: () => number;
  readonly randomId?: () => string;
}

export interface Hub {
  readonly url: string;
  stop(): Promise<void>;
}

type Stop = () => Promise<void>;

/** Starts the office. What was started before a failure is stopped again, the last first. */
export async function startHub(options: HubOptions): Promise<Result<Hub, Problem>> {
  const stops: Stop[] = [];
  const stop = async () => {
    for (const end of stops.splice(0).reverse()) await end();
  };
  try {
    const started = await start(options, stops);
    if (!started.ok) {
      await stop();
      return started;
    }
    return ok({ ...started.value, stop });
  } catch (cause) {
    await stop();
    throw cause;
  }
}

async function start(options: HubOptions, stops: Stop[]): Promise<Result<Omit<Hub, 'stop'>, Problem>> {
  const { log } = options;
  const schema = options.schema ?? 'fillwright';
  if (!/^[a-z_][a-z0-9_]{0,40}$/.test(schema)) return err(problem('FW-902', { found: schema }));
  const now = options.now ?? Date.now;
  const randomId = options.randomId ?? randomUUID;

  const folder = makeFolder(options.dataDir);
  if (!folder.ok) return folder;
  const hold = await holdFolder(folder.value);
  if (!hold.ok) return hold;
  stops.push(() => hold.value.release());

  let url = options.databaseUrl;
  if (url === undefined) {
    const engine = await startEngine(folder.value, (text) => log.info(text));
    if (!engine.ok) return engine;
    stops.push(() => engine.value.stop());
    url = engine.value.url;
  }
  const place = placeOf(url, schema);
  const migrated = await migrate(place);
  if (!migrated.ok) return migrated;
  if (migrated.value > 0) log.info(`applied ${migrated.value} migrations`);
  const db = openDatabase(place, (e) => log.warn(e, 'a database connection was lost'));
  stops.push(() => db.stop());

  const desks = openDesks();
  const app: App = { db, drafts: openDrafts(db, now), log, now, randomId, tell: desks.tell };

  const server = await buildServer(app, handlers, desks, options.deskDir);
  stops.push(async () => {
    desks.stop();
    await server.close();
  });
  try {
    await server.listen({ port: options.port, host: options.host });
  } catch (cause) {
    const { code } = cause as NodeJS.ErrnoException;
    if (code === 'EADDRINUSE') return err(problem('FW-901', { found: `${options.host}:${options.port}` }));
    if (code === 'EADDRNOTAVAIL' || code === 'EACCES' || code === 'ENOTFOUND')
      return err(
        problem('FW-902', { found: `${options.host}:${options.port}`, cause: 'This address cannot be listened on.' }),
      );
    throw cause;
  }
  const at = server.server.address();
  const port = typeof at === 'object' && at ? at.port : options.port;
  return ok({ url: `http://${options.host.includes(':') ? `[${options.host}]` : options.host}:${port}` });
}
