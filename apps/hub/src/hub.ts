import { randomBytes, randomUUID } from 'node:crypto';
import { hostname } from 'node:os';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import type { Logger } from 'pino';
import { openAcross } from './api/across.ts';
import { openDesks } from './api/events.ts';
import { handlers } from './api/handlers.ts';
import { buildServer } from './api/server.ts';
import type { App } from './app.ts';
import { openDrafts } from './draft/drafts.ts';
import { openFiguresThread } from './figures/thread.ts';
import { openImportsThread } from './imports/thread.ts';
import { type Broker, boxUser, startBroker } from './link/broker.ts';
import { keepPort, keptPort } from './link/broker-port.ts';
import type { Link } from './link/contract.ts';
import { type Line, openLine } from './link/line.ts';
import { openLink } from './link/link.ts';
import { allGone } from './link/state.ts';
import { judgeHandover } from './office/handover.ts';
import { openKeys } from './office/keys.ts';
import { openPapersThread } from './papers/thread.ts';
import { openReachThread } from './reach/thread.ts';
import { openReleased } from './release/released.ts';
import { judgeAll } from './release/waves.ts';
import { openTankWatch } from './stock/watch.ts';
import { type Database, openDatabase, placeOf } from './store/database.ts';
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
  /** A broker of one's own; without it the hub brings one. */
  readonly mqttUrl?: string | undefined;
  /** Of the hub's own broker; 0 takes any free one, nothing the one of the last start in this folder. */
  readonly mqttPort?: number | undefined;
  /** The broker as boxes reach it, where that is another address than the hub's own. */
  readonly mqttPublicUrl?: string | undefined;
  /** The built desk. */
  readonly deskDir?: string | undefined;
  readonly log: Logger;
  readonly now?: () => number;
  readonly randomId?: () => string;
}

export interface Hub {
  readonly url: string;
  /** The broker as boxes reach it. */
  readonly mqttUrl: string;
  /** Brings in a site's journal from elsewhere than its box: a history that lies in files, or one made up for a demo. */
  take: Link['take'];
  stop(): Promise<void>;
}

/** How often a release that goes out in waves is looked at. */
const JUDGE_EVERY_MS = 15_000;

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
  const db = openDatabase(place, (e) => log.warn(`a database connection was lost: ${e.message}`));
  stops.push(() => db.stop());

  const desks = openDesks();
  const across = await openAcross({
    ...{ place, self: randomUUID(), heard: (n) => desks.tell(n.fleet, n.event), missed: desks.again },
    warn: (words) => log.warn(words),
  });
  stops.push(() => across.stop());
  const link: { value?: Link; line?: Line } = {};
  const broker = options.mqttUrl === undefined ? await ownBroker(options, folder.value, db, link) : undefined;
  if (broker && !broker.ok) return broker;
  if (broker) stops.push(() => broker.value.stop());
  const mqttUrl = options.mqttUrl ?? `mqtt://${reachable(options.host)}:${broker?.value.port}`;
  const reach = openReachThread(log);
  stops.push(() => reach.stop());
  const figures = openFiguresThread(log);
  stops.push(() => figures.stop());
  const papers = openPapersThread(log);
  stops.push(() => papers.stop());
  const imports = openImportsThread(log);
  stops.push(() => imports.stop());
  const drafts = openDrafts(db, now);
  const tanks = openTankWatch({ db, drafts, figures, log, now });
  stops.push(() => tanks.stop());
  const app: App = {
    db,
    drafts,
    released: openReleased(),
    reach,
    figures,
    papers,
    imports,
    tanks,
    keys: openKeys(folder.value),
    mqttUrl: options.mqttPublicUrl ?? withoutUser(mqttUrl),
    log,
    now,
    randomId,
    tell: (fleet, event) => {
      desks.tell(fleet, event);
      across.tell({ fleet, event });
    },
    dropBox: (fleet, site) => broker?.value.drop(boxUser(fleet, site)),
    link: {
      sendKeys: (fleet, site) => link.value?.sendKeys(fleet, site),
      sendWanted: async (fleet, site) => link.value?.sendWanted(fleet, site),
      sayStop: (fleet, site, order) => link.value?.sayStop(fleet, site, order),
      sendStops: async (fleet, site) => link.value?.sendStops(fleet, site),
      sendPins: async (fleet, site) => link.value?.sendPins(fleet, site),
      sayStored: (fleet, site, ack) => link.value?.sayStored(fleet, site, ack),
      take: (fleet, site, message) => opened.take(fleet, site, message),
    },
  };
  const opened = openLink(
    app,
    () => link.line,
    log,
    () => judgeHandover(app),
  );
  link.value = opened;
  stops.push(() => opened.stop());
  // Nobody is at a broker that starts; at one that ran on, the sites' own messages and wills say who is.
  if (broker) await allGone(db, now());
  const line = await openLine({
    url:
      options.mqttUrl ??
      `mqtt://${isEvery(options.host) ? '127.0.0.1' : bracketed(options.host)}:${broker?.value.port}`,
    login: broker?.value.login,
    password: broker?.value.password,
    clientId: `fillwright-hub-${randomBytes(6).toString('hex')}`,
    log,
    opened: opened.opened,
    heard: opened.heard,
  });
  if (!line.ok) return line;
  link.line = line.value;
  stops.push(() => line.value.stop());

  const judging = setInterval(() => {
    judgeAll(app).catch((cause) => log.error(cause, 'a release that goes out could not be looked at'));
    judgeHandover(app).catch((cause) => log.error(cause, 'the handover of the key could not be looked at'));
  }, JUDGE_EVERY_MS).unref();
  stops.push(async () => clearInterval(judging));

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
  return ok({ url: `http://${bracketed(options.host)}:${port}`, mqttUrl: app.mqttUrl, take: opened.take });
}

async function ownBroker(
  options: HubOptions,
  folder: string,
  db: Database,
  link: { value?: Link },
): Promise<Result<Broker, Problem>> {
  const broker = await startBroker({
    host: options.host,
    port: options.mqttPort ?? keptPort(folder),
    db,
    log: options.log,
    secret: randomBytes(24).toString('base64url'),
    came: (fleet, site) => link.value?.came(fleet, site),
  });
  if (broker.ok) keepPort(folder, broker.value.port);
  return broker;
}

const bracketed = (host: string): string => (host.includes(':') ? `[${host}]` : host);
/** An address that a box can dial where the hub listens on all of them. */
const reachable = (host: string): string => (isEvery(host) ? hostname() : bracketed(host));
const isEvery = (host: string): boolean => host === '0.0.0.0' || host === '::';

/** The hub's own name and password at a broker are not for boxes. */
function withoutUser(url: string): string {
  if (!URL.canParse(url)) return url;
  const bare = new URL(url);
  bare.username = '';
  bare.password = '';
  return bare.href.replace(/\/$/, '');
}
