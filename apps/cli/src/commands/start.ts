import { existsSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { problem } from '@fillwright/core/errors';
import { startHub } from '@fillwright/hub';
import { Option } from 'commander';
import { type Logger, pino } from 'pino';
import { Stopped } from '../output.ts';
import { type Common, command, outputOf } from './context.ts';

const DESK = fileURLToPath(new URL('../../../desk/dist', import.meta.url));

export interface OfficeFlags {
  readonly data: string;
  readonly port: string;
  readonly host: string;
  readonly database?: string;
  readonly mqtt?: string;
  readonly mqttPublic?: string;
  readonly mqttPort?: string;
}

export const wholeNumber = (text: string, option: string, most: number): number => {
  const n = Number(text);
  if (!Number.isInteger(n) || n < 0 || n > most) {
    throw new Stopped([
      problem('FW-902', { at: { field: `--${option}` }, found: text, expected: `a whole number from 0 to ${most}` }),
    ]);
  }
  return n;
};

/** Logs for people where a person looks on, and one JSON line each for machines. */
export const logTo = (level = process.env.FILLWRIGHT_LOG ?? 'info'): Logger =>
  pino({
    level,
    ...(process.stdout.isTTY ? { transport: { target: 'pino-pretty', options: { ignore: 'pid,hostname' } } } : {}),
  });

export async function openOffice(flags: OfficeFlags, log: Logger) {
  if (!existsSync(join(DESK, 'index.html'))) throw new Stopped([problem('FW-904')]);
  const hub = await startHub({
    dataDir: resolve(flags.data),
    port: wholeNumber(flags.port, 'port', 65_535),
    host: flags.host,
    deskDir: DESK,
    databaseUrl: flags.database,
    mqttUrl: flags.mqtt,
    mqttPublicUrl: flags.mqttPublic,
    mqttPort: flags.mqttPort === undefined ? undefined : wholeNumber(flags.mqttPort, 'mqtt-port', 65_535),
    log,
  });
  if (!hub.ok) throw new Stopped([hub.error]);
  return hub.value;
}

/** Runs until Ctrl-C or a plain kill, then ends what was started, the last first. A second Ctrl-C does not wait. */
export function untilStopped(stop: () => Promise<void>): Promise<void> {
  return new Promise((done, failed) => {
    let stopping = false;
    for (const signal of ['SIGINT', 'SIGTERM'] as const) {
      process.on(signal, () => {
        if (stopping) process.exit(1);
        stopping = true;
        stop().then(done, failed);
      });
    }
  });
}

export const withOfficeOptions = (c: ReturnType<typeof command>, data: string) =>
  c
    .addOption(
      new Option('--data <folder>', 'where the office keeps its keys and its database')
        .env('FILLWRIGHT_DATA')
        .default(data),
    )
    .addOption(
      new Option('--port <n>', 'port of the desk and the API; 0 takes any').env('FILLWRIGHT_PORT').default('8400'),
    )
    .addOption(new Option('--host <address>', 'address to listen at').env('FILLWRIGHT_HOST').default('127.0.0.1'))
    .addOption(
      new Option('--mqtt-port <n>', 'port of the broker that comes with the office').env('FILLWRIGHT_MQTT_PORT'),
    )
    .addOption(new Option('--database <url>', 'a PostgreSQL server of your own').env('DATABASE_URL'))
    .addOption(new Option('--mqtt <url>', 'an MQTT broker of your own').env('MQTT_URL'))
    .addOption(
      new Option('--mqtt-public <url>', 'where boxes find the broker, when that is another address').env(
        'MQTT_PUBLIC_URL',
      ),
    );

export const start = withOfficeOptions(
  command('start', 'open an office: the desk, the API, its database and its broker', false),
  '.fillwright/office',
).action(async (options: Common & OfficeFlags) => {
  const out = outputOf(options);
  const hub = await openOffice(options, logTo());
  out.line(`The desk is open at ${hub.url}. Data: ${resolve(options.data)}. Ctrl-C ends it.`);
  out.value({ url: hub.url, data: resolve(options.data) });
  await untilStopped(() => hub.stop());
});
