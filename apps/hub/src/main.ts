import { parseArgs } from 'node:util';
import { pino } from 'pino';
import { startHub } from './index.ts';

const { values } = parseArgs({
  options: {
    data: { type: 'string' },
    port: { type: 'string', default: '8400' },
    host: { type: 'string', default: '127.0.0.1' },
    desk: { type: 'string' },
    database: { type: 'string' },
    mqtt: { type: 'string' },
    'mqtt-port': { type: 'string', default: '1883' },
  },
});
const log = pino(
  process.stdout.isTTY ? { transport: { target: 'pino-pretty', options: { ignore: 'pid,hostname' } } } : {},
);
if (values.data === undefined) {
  log.error('Name the data folder with --data.');
  process.exit(2);
}
const hub = await startHub({
  dataDir: values.data,
  port: Number(values.port),
  host: values.host,
  deskDir: values.desk,
  databaseUrl: values.database ?? process.env.DATABASE_URL,
  mqttUrl: values.mqtt ?? process.env.MQTT_URL,
  mqttPort: Number(values['mqtt-port']),
  log,
});
if (!hub.ok) {
  log.error(`${hub.error.code} ${hub.error.cause} ${hub.error.mend} ${hub.error.found ?? ''}`);
  process.exit(1);
}
log.info(`the office is open at ${hub.value.url}`);
let closing = false;
for (const signal of ['SIGINT', 'SIGTERM'] as const)
  process.on(signal, () => {
    if (closing) return;
    closing = true;
    void hub.value.stop().then(() => process.exit(0));
  });
