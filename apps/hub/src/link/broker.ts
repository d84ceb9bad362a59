import { createHash, timingSafeEqual } from 'node:crypto';
import { createServer } from 'node:net';
import { err, ok, type Problem, problem, type Result } from '@fillwright/core/errors';
import { topics } from '@fillwright/wire';
import { Aedes, type AuthenticateError, type Client } from 'aedes';
import type { Logger } from 'pino';
import type { Database } from '../store/database.ts';

export interface Broker {
  readonly port: number;
  /** What the hub's own client signs in with. */
  readonly login: string;
  readonly password: string;
  /** Ends the sessions of a site's box, as when another takes its place. */
  drop(login: string): void;
  stop(): Promise<void>;
}

export interface BrokerOptions {
  readonly host: string;
  readonly port: number;
  readonly db: Database;
  readonly log: Logger;
  /** The hub's own password at its broker. */
  readonly secret: string;
  /** A site's box has signed in. */
  readonly came: (fleet: string, site: string) => void;
}

const HUB = 'hub';
export const boxUser = (fleet: string, site: string): string => `${fleet}.${site}`;
export const hashSecret = (secret: string): string => createHash('sha256').update(secret).digest('hex');

const sameHash = (a: string, b: string): boolean =>
  a.length === b.length && timingSafeEqual(Buffer.from(a), Buffer.from(b));

interface Whose {
  readonly fleet: string;
  readonly site: string;
}
const siteOf = (login: string): Whose | undefined => {
  const m = /^([A-Za-z0-9-]+)\.([a-z0-9-]+)$/.exec(login);
  return m ? { fleet: m[1] as string, site: m[2] as string } : undefined;
};

/** The broker of a one-machine office. A box may speak below its own site's `up/` and hear its own `down/` and its fleet's `all/`. */
export async function startBroker(options: BrokerOptions): Promise<Result<Broker, Problem>> {
  const { db, log } = options;
  const logins = new Map<Client, string>();
  const aedes = await Aedes.createBroker({
    authenticate: (client, login, password, done) => {
      const refuse = () =>
        done(Object.assign(new Error('not known here'), { returnCode: 5 }) as AuthenticateError, null);
      isKnown(db, options.secret, login, password?.toString('utf8')).then(
        (known) => {
          if (!known || login === undefined) return refuse();
          logins.set(client, login);
          done(null, true);
        },
        (cause) => {
          log.warn(cause, 'a box could not be looked up');
          refuse();
        },
      );
    },
    authorizePublish: (client, packet, done) => {
      const login = client ? logins.get(client) : HUB;
      const whose = login === undefined ? undefined : siteOf(login);
      const may = login === HUB || (whose && packet.topic.startsWith(upOf(whose)));
      done(may ? null : new Error('not this site’s topic'));
    },
    authorizeSubscribe: (client, subscription, done) => {
      const login = logins.get(client);
      const whose = login === undefined ? undefined : siteOf(login);
      const own = whose && [topics.everyDown(whose.fleet, whose.site), topics.everyAll(whose.fleet)];
      const may = login === HUB || own?.some((o) => subscription.topic.startsWith(o.slice(0, -1)));
      done(null, may ? subscription : null);
    },
  });
  aedes.on('clientReady', (client) => {
    const whose = siteOf(logins.get(client) ?? '');
    if (whose) options.came(whose.fleet, whose.site);
  });
  aedes.on('clientDisconnect', (client) => {
    // The will is still judged by whose it was.
    setImmediate(() => logins.delete(client));
  });
  aedes.on('clientError', (_client, error) => log.debug(error, 'a client of the broker'));
  aedes.on('connectionError', (_client, error) => log.debug(error, 'a connection of the broker'));

  const server = createServer((socket) => {
    aedes.handle(socket);
  });
  const port = await new Promise<number | NodeJS.ErrnoException>((resolve) => {
    server.once('error', resolve);
    server.listen(options.port, options.host, () => resolve((server.address() as { port: number }).port));
  });
  if (typeof port !== 'number') {
    aedes.close();
    return err(
      problem(port.code === 'EADDRINUSE' ? 'FW-901' : 'FW-902', { found: `${options.host}:${options.port} (MQTT)` }),
    );
  }
  return ok({
    port,
    login: HUB,
    password: options.secret,
    drop: (login) => {
      for (const [client, of] of logins) if (of === login) client.close();
    },
    stop: () =>
      new Promise((done) => {
        server.close();
        aedes.close(() => done());
      }),
  });
}

const upOf = ({ fleet, site }: Whose): string => topics.up(fleet, site, 'state').slice(0, -'state'.length);

async function isKnown(
  db: Database,
  secret: string,
  login: string | undefined,
  password: string | undefined,
): Promise<boolean> {
  if (login === undefined || password === undefined) return false;
  if (login === HUB) return sameHash(hashSecret(password), hashSecret(secret));
  const whose = siteOf(login);
  if (!whose) return false;
  const box = await db.as(whose.fleet, (tx) =>
    tx.row<{ password: string }>('select password from box where fleet = $1 and site = $2', [whose.fleet, whose.site]),
  );
  return box !== undefined && sameHash(hashSecret(password), box.password);
}
