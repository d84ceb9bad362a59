import { resolve } from 'node:path';
import { type Problem, problem } from '@fillwright/core/errors';
import type { Place } from '@fillwright/sim';
import { join, realClock, simulatedYards, startSite, wiredYards, yardStood } from '@fillwright/site';
import { Option } from 'commander';
import { DEFAULT_OFFICE } from '../office.ts';
import { Stopped } from '../output.ts';
import { practiceSites, practiceYard } from '../practice.ts';
import { wiringIn } from '../wiring-file.ts';
import { type Common, command, outputOf } from './context.ts';
import { logTo, untilStopped, wholeNumber } from './start.ts';

interface SiteCommand extends Common {
  readonly data: string;
  readonly port: string;
  readonly host: string;
  readonly join?: string;
  readonly office: string;
  readonly yard?: string;
  readonly stick?: string;
  readonly practice?: boolean | string;
  readonly pace: string;
  readonly traffic?: string;
  readonly place?: string;
  readonly every: string;
}

function placeIn(text: string | undefined): Place | undefined {
  if (text === undefined) return undefined;
  const [, n, m] = /^(\d{1,3})\/(\d{1,3})$/.exec(text) ?? [];
  if (Number(n) >= 1 && Number(n) <= Number(m)) return { number: Number(n) - 1, of: Number(m) };
  throw new Stopped([problem('FW-902', { at: { field: '--place' }, found: text, expected: 'such as 2/3' })]);
}

const must = <T>(result: { ok: true; value: T } | { ok: false; error: Problem }): T => {
  if (result.ok) return result.value;
  throw new Stopped([result.error]);
};

export const site = command('site', 'run the box of one site, with the yard of a wiring file or a simulated one', false)
  .addOption(
    new Option('--data <folder>', 'where the box keeps its keys and its journal')
      .env('FILLWRIGHT_SITE_DATA')
      .default('.fillwright/site'),
  )
  .option('--port <n>', 'port of the terminal’s page; 0 takes any', '0')
  .option('--host <address>', 'address of the terminal’s page', '127.0.0.1')
  .option('--join <code>', 'join an office first, with a one-time code')
  .addOption(
    new Option('--office <url>', 'address of the office to join').env('FILLWRIGHT_OFFICE').default(DEFAULT_OFFICE),
  )
  .option(
    '--yard <wiring.json>',
    'hoses, tanks and readers on Modbus units and lines; without it the yard is simulated',
  )
  .option('--stick <folder>', 'where a stick is mounted that carries files between office and box')
  .option('--practice [site]', 'a yard of the invented fleet, for training, without an office')
  .option('--pace <n>', 'how many times faster than life the simulated yard runs', '1')
  .option('--traffic <seed>', 'people come to the simulated yard, from this seed')
  .option('--place <n/m>', 'this is yard n of m that share the fleet’s people: nobody comes to two at once')
  .option('--every <minutes>', 'mean minutes between them by day; fewer come at night', '6')
  .action(async (options: SiteCommand) => {
    const out = outputOf(options);
    const dataDir = resolve(options.data);
    const pace = Number(options.pace);
    if (!(pace > 0 && pace <= 1000)) {
      throw new Stopped([
        problem('FW-902', { at: { field: '--pace' }, found: options.pace, expected: 'a number above 0, at most 1000' }),
      ]);
    }
    const everyMin = Number(options.every);
    if (!(everyMin > 0 && everyMin <= 1440)) {
      throw new Stopped([
        problem('FW-902', {
          at: { field: '--every' },
          found: options.every,
          expected: 'minutes above 0, at most 1440',
        }),
      ]);
    }
    const place = placeIn(options.place);
    const port = wholeNumber(options.port, 'port', 65_535);
    const log = logTo();
    const practice = options.practice !== undefined && options.practice !== false;
    const wiring = options.yard === undefined ? undefined : wiringIn(options.yard);
    // A real yard lives at life's pace, with people of its own, and nobody practises on it.
    if (wiring && (practice || pace !== 1 || options.traffic !== undefined))
      throw new Stopped([
        problem('FW-902', {
          at: { field: '--yard' },
          expected: 'no --practice, --pace or --traffic beside it: those are for a simulated yard',
        }),
      ]);
    const clock = realClock(pace, yardStood(dataDir));
    const trained = typeof options.practice === 'string' ? options.practice : (practiceSites()[0] ?? '');
    const training = practice ? practiceYard(dataDir, trained, clock) : undefined;
    if (training) {
      must(training.prepared);
    } else if (options.join !== undefined) {
      const membership = must(await join(options.office, options.join, dataDir));
      log.info({ site: membership.site }, `joined as ${membership.name}`);
    }
    let failed: (cause: unknown) => void = () => undefined;
    const broken = new Promise<never>((_, reject) => {
      failed = reject;
    });
    const running = must(
      await startSite({
        dataDir,
        port,
        host: options.host,
        clock,
        log,
        ...training?.options,
        ...(options.stick === undefined ? {} : { stickDir: resolve(options.stick) }),
        yard: wiring
          ? wiredYards({ wiring, clock, dataDir, log, fault: failed })
          : simulatedYards({
              clock,
              seed: dataDir,
              dataDir,
              ...(options.traffic === undefined
                ? {}
                : { traffic: options.traffic, everyMin, ...(place ? { place } : {}) }),
            }),
        // Every hose is closed by then; the process ends and is started anew by whatever watches it.
        fault: failed,
      }),
    );
    out.line(`The terminal’s page is at ${running.url}. Data: ${dataDir}. Ctrl-C ends it.`);
    if (training?.hint !== undefined) out.line(training.hint);
    out.value({ url: running.url, data: dataDir });
    await Promise.race([untilStopped(() => running.stop()), broken]);
  });
