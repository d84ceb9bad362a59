import { setTimeout as wait } from 'node:timers/promises';
import { type Probed, probe as readOnce } from '@fillwright/devices';
import { EXIT } from '../exit.ts';
import { wiringIn } from '../wiring-file.ts';
import { type Common, command, outputOf } from './context.ts';
import { wholeNumber } from './start.ts';

/** Whoever reads live values stands beside a yard: the usual cautions come first. */
const CAUTIONS = [
  'Fuel burns, its vapour explodes, mains voltage kills. Before anybody opens a panel or a dispenser: isolate and lock out, no',
  'ignition sources, bond and ground, spill kit at hand, traffic kept away. Only licensed people do the work, by local codes and the',
  'authority having jurisdiction. This command only reads; that it shows an output as off is no proof that nothing can flow.',
];

export const probe = command(
  'probe',
  'read everything that a wiring file names, once or again and again; never writes',
  false,
)
  .argument('<wiring>', 'the wiring file')
  .option('--times <n>', 'how often to read', '1')
  .option('--every <ms>', 'time from one reading to the next', '1000')
  .action(async (path: string, options: Common & { times: string; every: string }) => {
    const out = outputOf(options);
    const times = wholeNumber(options.times, 'times', 100_000);
    const every = wholeNumber(options.every, 'every', 600_000);
    const wiring = wiringIn(path);
    for (const line of CAUTIONS) out.line(line);
    let before = new Map<string, string>();
    let rows: Probed[] = [];
    for (let i = 0; i < Math.max(1, times); i++) {
      if (i > 0) await wait(every);
      rows = await readOnce(wiring, () => performance.now());
      out.line('');
      // From the second time on only what has changed, so that a lifted nozzle or a counted pulse stands out.
      const shown = rows.filter((r) => i === 0 || before.get(r.point) !== textOf(r));
      if (shown.length > 0)
        out.table(
          ['point', 'reads', 'unit', 'what is wrong'],
          shown.map((r) => [r.point, r.value ?? '', r.unit, r.problem ?? '']),
        );
      before = new Map(rows.map((r) => [r.point, textOf(r)]));
    }
    const silent = rows.filter((r) => r.problem !== undefined).length;
    out.line('');
    out.line(`${rows.length - silent} of ${rows.length} points answer.`);
    out.value({ cautions: CAUTIONS.join(' '), points: rows });
    if (silent > 0) process.exitCode = EXIT.look;
  });

const textOf = (r: Probed): string => r.value ?? `! ${r.problem}`;
