import { resolve } from 'node:path';
import { problem } from '@fillwright/core/errors';
import { realClock, simulatedYards, startSite } from '@fillwright/site';
import { Stopped } from '../output.ts';
import { LEARNERS_YARD, practiceSites, practiceYard } from '../practice.ts';
import { type Common, command, outputOf } from './context.ts';
import { logTo, untilStopped, wholeNumber } from './start.ts';

interface YardCommand extends Common {
  readonly data: string;
  readonly port: string;
  readonly host: string;
  readonly site: string;
}

export const yard = command(
  'yard',
  'learn at a yard where no fuel flows: a terminal, hoses, and what may go wrong',
  false,
)
  .option('--data <folder>', 'where the yard is kept between two runs', '.fillwright/yard')
  .option('--port <n>', 'port of the terminal’s page; 0 takes any', '0')
  .option('--host <address>', 'address of the terminal’s page', '127.0.0.1')
  .option('--site <site>', 'which yard of the invented fleet', LEARNERS_YARD)
  .action(async (options: YardCommand) => {
    const out = outputOf(options);
    const dataDir = resolve(options.data);
    const port = wholeNumber(options.port, 'port', 65_535);
    const sites = practiceSites();
    if (!sites.includes(options.site))
      throw new Stopped([
        problem('FW-902', { at: { field: '--site' }, found: options.site, expected: sites.join(', ') }),
      ]);
    const clock = realClock(1);
    const practice = practiceYard(dataDir, options.site, clock);
    if (!practice.prepared.ok) throw new Stopped([practice.prepared.error]);
    let failed: (cause: unknown) => void = () => undefined;
    const broken = new Promise<never>((_, reject) => {
      failed = reject;
    });
    const running = await startSite({
      dataDir,
      port,
      host: options.host,
      clock,
      log: logTo(process.env.FILLWRIGHT_LOG ?? 'warn'),
      ...practice.options,
      yard: simulatedYards({ clock, seed: dataDir, dataDir }),
      fault: failed,
    });
    if (!running.ok) throw new Stopped([running.error]);
    const { url } = running.value;
    out.line(`The learner’s yard is at ${url}: open it in a browser. No fuel flows there. Ctrl-C ends it.`);
    if (practice.hint !== undefined) out.line(practice.hint);
    out.value({ url, data: dataDir });
    await Promise.race([untilStopped(() => running.value.stop()), broken]);
  });
