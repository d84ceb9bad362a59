import { Command, Option } from 'commander';
import { officeOf } from '../office.ts';
import { type Output, outputTo } from '../output.ts';

/** Options that every command understands. */
export interface Common {
  readonly json?: boolean;
  readonly office?: string;
}

/** A command with the options that all share; `talks` adds the office's address. */
export function command(name: string, summary: string, talks = true): Command {
  const c = new Command(name)
    .description(summary)
    .addOption(new Option('--json', 'print one JSON value instead of text'));
  return talks ? c.addOption(new Option('--office <url>', 'address of the office').env('FILLWRIGHT_OFFICE')) : c;
}

export const outputOf = (options: Common): Output => outputTo(options.json === true, process.stdout, process.stderr);
export const callerOf = (options: Common) => officeOf(options.office);
