import { randomUUID } from 'node:crypto';
import { parseArgs } from 'node:util';
import type { Problem } from '@fillwright/core/errors';
import { demoPin, harrowmere } from '@fillwright/sim';
import { pino } from 'pino';
import { join, preparePractice, realClock, sealPins, simulatedYards, startSite } from './index.ts';

const USE = `npx tsx apps/site/src/main.ts --data DIR [--port N]
  [--join CODE --office URL]       join an office first, with a one-time code
  [--practice [--site ID]]         a yard of the invented fleet, without an office
  [--pace N] [--traffic SEED]      how fast the simulated yard lives; whether people come to it`;

function fail(problem: Problem): never {
  process.stderr.write(`${problem.code} ${problem.cause} ${problem.mend}\n`);
  if (problem.found !== undefined) process.stderr.write(`  found: ${problem.found}\n`);
  process.exit(1);
}

function flags() {
  try {
    const { values } = parseArgs({
      options: {
        data: { type: 'string' },
        port: { type: 'string', default: '0' },
        join: { type: 'string' },
        office: { type: 'string', default: 'http://127.0.0.1:8400' },
        practice: { type: 'boolean', default: false },
        site: { type: 'string' },
        pace: { type: 'string', default: '1' },
        traffic: { type: 'string' },
        help: { type: 'boolean', default: false },
      },
    });
    const port = Number(values.port);
    const pace = Number(values.pace);
    const whole = Number.isInteger(port) && port >= 0 && port <= 65_535;
    if (values.help || values.data === undefined || !whole || !(pace > 0 && pace <= 1000)) throw new Error(USE);
    return { ...values, data: values.data, port, pace };
  } catch (error) {
    process.stderr.write(`FW-902 ${error instanceof Error ? error.message : String(error)}\n`);
    process.exit(2);
  }
}

const given = flags();
const log = pino({ name: 'site', level: process.env.FILLWRIGHT_LOG ?? 'info' });
const clock = realClock(given.pace);

if (given.practice) {
  const fleet = harrowmere();
  const site = given.site ?? [...fleet.sites.keys()][0] ?? '';
  const ready = preparePractice({ dataDir: given.data, fleet, site, now: clock.now(), randomId: randomUUID });
  if (!ready.ok) fail(ready.error);
} else if (given.join !== undefined) {
  const joined = await join(given.office, given.join, given.data);
  if (!joined.ok) fail(joined.error);
  log.info({ site: joined.value.site }, `joined as ${joined.value.name}`);
}

const started = await startSite({
  dataDir: given.data,
  port: given.port,
  clock,
  log,
  practice: given.practice,
  ...(given.practice ? { practicePins: (sealKey: string) => sealPins(harrowmere(), sealKey, demoPin, 1) } : {}),
  yard: simulatedYards({
    clock,
    seed: given.data,
    dataDir: given.data,
    ...(given.traffic === undefined ? {} : { traffic: given.traffic }),
  }),
  fault: () => process.exit(70),
});
if (!started.ok) fail(started.error);
process.stdout.write(`The terminal’s page: ${started.value.url}\n`);

for (const signal of ['SIGINT', 'SIGTERM'] as const)
  process.once(signal, () => {
    // A second Ctrl-C ends it at once; what is durable stays so.
    process.once(signal, () => process.exit(130));
    started.value.stop().then(
      () => process.exit(0),
      (error) => {
        log.fatal({ error: String(error) }, 'could not stop cleanly');
        process.exit(70);
      },
    );
  });
