import { keyText, trustOffice } from '@fillwright/site';
import { call } from '@fillwright/wire';
import { fingerprintOf } from '@fillwright/wire/keys';
import { Option } from 'commander';
import { EXIT } from '../exit.ts';
import { must } from '../office.ts';
import { Stopped } from '../output.ts';
import { type Common, callerOf, command, outputOf } from './context.ts';
import { wholeNumber } from './start.ts';

const DAY_MS = 86_400_000;

export const officeKey = command(
  'office-key',
  'the key that the office signs with, and who does not have the next one; exit code 3 while one is given on',
)
  .option('--hand-over', 'make a new key and give it on, signed with the old one')
  .option('--days <n>', 'the old key ends after so many days at the latest', '30')
  .action(async (options: Common & { handOver?: boolean; days: string }) => {
    const out = outputOf(options);
    const caller = callerOf(options);
    const days = wholeNumber(options.days, 'days', 400);
    const key = options.handOver
      ? must(await call(caller, 'handOverKey', { body: { until: Date.now() + days * DAY_MS } }))
      : must(await call(caller, 'officeKey', {}));
    out.line(`Key ${key.version}: ${key.fingerprint}`);
    out.line(`To set it at a box by hand: ${keyText(key)}`);
    if (key.next) {
      const { version, fingerprint, until, waiting, others } = key.next;
      out.line(
        `Key ${version} is being given on: ${fingerprint}. The old one ends on ${new Date(until).toISOString()} at the latest.`,
      );
      out.line(waiting.length === 0 ? 'Every box of this fleet has it.' : `Not there yet: ${waiting.join(', ')}`);
      if (others > 0) out.line(`Boxes of other fleets that do not have it yet: ${others}`);
      process.exitCode = EXIT.look;
    }
    out.value(key);
  });

export const trustOfficeCommand = command(
  'trust-office',
  'at a box: go by another key of the office, where the old one was lost and could not give it on',
  false,
)
  .argument('<key>', 'what `fillwright office-key` shows at the office; compare the fingerprint by word of mouth')
  .addOption(
    new Option('--data <folder>', 'where the box keeps its keys and its journal')
      .env('FILLWRIGHT_SITE_DATA')
      .default('.fillwright/site'),
  )
  .action(async (key: string, options: Common & { data: string }) => {
    const out = outputOf(options);
    const done = trustOffice(options.data, key);
    if (!done.ok) throw new Stopped([done.error]);
    const [was, is] = [fingerprintOf(done.value.was), fingerprintOf(done.value.is)];
    out.line(`Joined with ${was}; goes by ${is} from its next start. Call the office and compare before you start it.`);
    out.value({ was, is });
  });
