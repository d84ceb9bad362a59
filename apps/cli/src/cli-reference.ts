import type { Argument, Command, Option } from 'commander';
import { EXIT } from './exit.ts';

/** The reference page, made from the commands themselves, so that it never tells of another program. */

const EXIT_WORDS: Readonly<Record<keyof typeof EXIT, string>> = {
  done: 'done',
  failed: 'it could not be done; the problem is on standard error',
  usage: 'the command line itself is wrong',
  look: 'done, but something wants a look: error findings, rows that could not be taken, a fill that is declined',
  access: 'not signed in, or the role does not allow it',
  unreachable: 'no office answers',
};

const EXAMPLES: Readonly<Record<string, readonly string[]>> = {
  start: ['fillwright start --data /srv/fillwright --mqtt-port 8883'],
  demo: ['fillwright demo --pace 10'],
  site: [
    'fillwright site --data box --office http://127.0.0.1:8400 --join ABCD-EFGH-JKMN',
    'fillwright site --practice',
    'fillwright site --data box --yard wiring.json',
  ],
  yard: ['fillwright yard', 'fillwright yard --site highfell --port 8600'],
  probe: ['fillwright probe wiring.json', 'fillwright probe wiring.json --times 60 --every 1000 --json'],
  'sign-in': ['fillwright sign-in you@example.test --office http://127.0.0.1:8400'],
  import: ['fillwright import roster.csv --look'],
  export: ['fillwright export fleet.xlsx --which 3'],
  template: ['fillwright template intake.xlsx'],
  findings: ['fillwright findings --json'],
  bench: ['fillwright bench --site S --hose H --card 1000 2000 --at 2026-11-25T06:00Z --answer odometer=120000'],
  stock: ['fillwright stock --tank TANK --days 60'],
  reach: ['fillwright reach --site S --driver D'],
  difference: ['fillwright difference 3 draft --kind gained', 'fillwright difference running:S 4'],
  expectations: ['fillwright expectations --which 3'],
  release: [
    'fillwright release --look',
    'fillwright release --note "Night limit raised" --word "FINDING=meant so" "gained=new crew"',
  ],
  statement: ['fillwright statement account --from 2026-11-01 --to 2026-11-30 -o november.pdf'],
  flags: [
    'fillwright flags --days 7',
    "fillwright flags --looked-at 'G01:fills/highfell.e1.7@1795600000000' --note 'A second tank'",
  ],
  ledger: ['fillwright ledger --from 2026-11-01 --csv fills.csv'],
  'stop-card': ['fillwright stop-card CREDENTIAL --reason "lost"'],
  'join-code': ['fillwright join-code SITE'],
};

const cell = (text: string): string => text.replaceAll('|', '\\|');

function defaultOf(option: Option): string {
  const value: unknown = option.defaultValue;
  return value === undefined || value === '' ? '' : `\`${String(value)}\``;
}

function optionRow(option: Option): string {
  const words = [option.description, option.mandatory ? 'Must be given.' : ''].filter(Boolean).join(' ');
  const env = option.envVar === undefined ? '' : `\`${option.envVar}\``;
  return `| \`${option.flags}\` | ${cell(words)} | ${defaultOf(option)} | ${env} |`;
}

const argumentText = (a: Argument): string => (a.required ? `<${a.name()}>` : `[${a.name()}]`);

function section(command: Command): string {
  const line = ['fillwright', command.name(), ...command.registeredArguments.map(argumentText)].join(' ');
  const examples = (EXAMPLES[command.name()] ?? []).map((e) => `    ${e}`);
  return [
    `## ${command.name()}`,
    `\`${line}\`: ${command.description()}.`,
    ['| option | what | default | environment |', '| --- | --- | --- | --- |', ...command.options.map(optionRow)].join(
      '\n',
    ),
    ...(examples.length > 0 ? [examples.join('\n')] : []),
  ].join('\n\n');
}

export function cliReference(program: Command): string {
  const codes = (Object.keys(EXIT) as (keyof typeof EXIT)[]).map((name) => `| ${EXIT[name]} | ${EXIT_WORDS[name]} |`);
  return `${[
    '# fillwright, the command line',
    'Made from the commands in `apps/cli/src`; do not edit by hand. From a clone, `npm run fillwright --` stands for `fillwright`. Every command has `--help`. With `--json` a command prints one JSON value on standard output; problems are on standard error, as JSON too.',
    'Commands that talk to an office use, in this order: `--office`, `FILLWRIGHT_OFFICE`, the office that was signed in to last, `http://127.0.0.1:8400`. The sign-in is kept in `FILLWRIGHT_HOME`, or `.fillwright` in the home folder, readable by its owner only. `FILLWRIGHT_PASSWORD` gives the password where nobody sits at a keyboard. `FILLWRIGHT_LOG` sets how much the programs log: `warn`, `info`, `debug`.',
    ['| exit code | means |', '| --- | --- |', ...codes].join('\n'),
    ...program.commands.map(section),
  ].join('\n\n')}\n`;
}
