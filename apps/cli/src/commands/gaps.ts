import { call } from '@fillwright/wire';
import { EXIT } from '../exit.ts';
import { must } from '../office.ts';
import { type Common, callerOf, command, outputOf } from './context.ts';

interface Options extends Common {
  readonly site?: string;
  readonly epoch?: string;
  readonly from?: string;
  readonly word?: string;
}

export const gaps = command('gaps', 'entries that neither office nor box has; exit code 3 where one waits for a word')
  .option('--site <id>', 'let a gap of this site stay')
  .option('--epoch <name>', 'of which journal, as listed')
  .option('--from <number>', 'the first number that is missing, as listed')
  .option('--word <text>', 'what is known of the missing entries')
  .action(async (options: Options) => {
    const out = outputOf(options);
    const caller = callerOf(options);
    if (options.word !== undefined)
      must(
        await call(caller, 'passGap', {
          params: { site: options.site ?? '' },
          body: { epoch: options.epoch ?? '', from: Number(options.from ?? 0), word: options.word },
        }),
      );
    const all = must(await call(caller, 'gaps', {}));
    out.table(
      ['Site', 'Epoch', 'From', 'To', 'Noticed', 'Word', 'By'],
      all.map((g) => [
        g.site,
        g.epoch,
        String(g.from),
        String(g.to),
        new Date(g.noticedAt).toISOString(),
        g.word ?? 'waits for a word',
        g.by ?? '',
      ]),
    );
    out.value(all);
    if (all.some((g) => g.word === null)) process.exitCode = EXIT.look;
  });
