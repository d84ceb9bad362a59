import { call } from '@fillwright/wire';
import { EXIT } from '../exit.ts';
import { must } from '../office.ts';
import { type Common, callerOf, command, outputOf } from './context.ts';
import { wholeNumber } from './start.ts';

interface Options extends Common {
  readonly days: string;
  readonly all?: true;
  readonly lookedAt?: string;
  readonly note?: string;
}

const DAY_MS = 86_400_000;

/** Unusual fills with their evidence and the next step; a word takes one from the open list. */
export const flags = command('flags', 'unusual fills that nobody has looked at; exit code 3 where there are any')
  .option('--days <n>', 'how many days back, 1 to 366', '30')
  .option('--all', 'also what has been looked at')
  .option('--looked-at <flag>', 'write a word on this flag, as listed, so that it leaves the open list')
  .option('--note <text>', 'what you saw')
  .action(async (options: Options) => {
    const out = outputOf(options);
    const caller = callerOf(options);
    const today = Math.floor(Date.now() / DAY_MS) * DAY_MS;
    const span = { since: today - wholeNumber(options.days, 'days', 366) * DAY_MS };
    if (options.lookedAt !== undefined)
      must(await call(caller, 'lookedAtFlag', { body: { ...span, flag: options.lookedAt, note: options.note ?? '' } }));
    const found = must(await call(caller, 'flags', { query: span })).flags;
    const open = found.filter((f) => f.looked === null);
    const shown = options.all ? found : open;
    out.table(
      ['At (UTC)', 'Code', 'What', 'Next step', 'Looked at', 'Flag'],
      shown.map((f) => [
        new Date(f.at).toISOString().slice(0, 16).replace('T', ' '),
        f.code,
        f.text,
        f.next,
        f.looked ? `${f.looked.by}: ${f.looked.note || 'no note'}` : '',
        f.id,
      ]),
    );
    out.line('A flag accuses nobody: it says what to look at.');
    out.value(shown);
    if (open.length > 0) process.exitCode = EXIT.look;
  });
