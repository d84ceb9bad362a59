import { existsSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { connect } from 'node:net';
import { join } from 'node:path';
import { freePort } from './ports.ts';
import type { Started } from './processes.ts';
import type { Stage } from './stage.ts';
import { until } from './wait.ts';

/** A broker that is not ours, over all the processes that serve it: same port, a store of its own. */
export interface Broker {
  readonly url: string;
  /** Kills it without a word. */
  kill(): Promise<void>;
  /** Forgets everything that it had kept. */
  wipe(): void;
  start(): Promise<void>;
}

export interface Kind {
  readonly name: string;
  readonly program: string | undefined;
  /** Writes what it reads at its start into the folder, and gives its arguments. */
  readonly prepare: (folder: string, store: string, port: number) => string[] | Promise<string[]>;
}

const found = (...paths: readonly string[]): string | undefined => paths.find((p) => existsSync(p));

export const MOSQUITTO: Kind = {
  name: 'Mosquitto',
  program: found('/usr/sbin/mosquitto', '/usr/local/sbin/mosquitto', '/opt/homebrew/sbin/mosquitto'),
  prepare(folder, store, port) {
    const file = join(folder, 'mosquitto.conf');
    const lines = [
      `listener ${port} 127.0.0.1`,
      'allow_anonymous true',
      'persistence true',
      `persistence_location ${store}/`,
      'autosave_interval 1',
      'autosave_on_changes false',
      // As root it would step down to a user that may not enter the folder.
      ...(process.getuid?.() === 0 ? ['user root'] : []),
    ];
    writeFileSync(file, `${lines.join('\n')}\n`);
    return ['-c', file];
  },
};

export const NATS: Kind = {
  name: 'NATS',
  program: found('/usr/sbin/nats-server', '/usr/bin/nats-server', '/usr/local/bin/nats-server'),
  async prepare(folder, store, port) {
    const file = join(folder, 'nats.conf');
    writeFileSync(
      file,
      [
        'server_name: yard',
        `listen: 127.0.0.1:${await freePort()}`,
        `jetstream { store_dir: ${JSON.stringify(store)} }`,
        `mqtt { listen: 127.0.0.1:${port} }`,
        '',
      ].join('\n'),
    );
    return ['-c', file];
  },
};

export async function openBroker(stage: Stage, kind: Kind): Promise<Broker> {
  const { program } = kind;
  if (program === undefined) throw new Error(`${kind.name} is not installed`);
  const folder = stage.folder(kind.name.toLowerCase());
  const store = join(folder, 'store');
  const port = await freePort();
  mkdirSync(store, { recursive: true });
  const args = await kind.prepare(folder, store, port);
  let process: Started | undefined;
  const broker: Broker = {
    url: `mqtt://127.0.0.1:${port}`,
    async kill() {
      process?.signalAll('SIGKILL');
      await process?.ended;
    },
    wipe() {
      rmSync(store, { recursive: true, force: true });
      mkdirSync(store, { recursive: true });
    },
    async start() {
      const started = stage.start({ name: kind.name, program, args });
      process = started;
      await until(`${kind.name} listens`, () => started.running && listens(port), {
        ms: 60_000,
        evidence: () => started.tail(),
      });
    },
  };
  await broker.start();
  return broker;
}

export const listens = (port: number): Promise<boolean> =>
  new Promise((resolve) => {
    const socket = connect(port, '127.0.0.1', () => {
      socket.destroy();
      resolve(true);
    }).on('error', () => resolve(false));
  });
