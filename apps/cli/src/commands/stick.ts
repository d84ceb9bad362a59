import {
  copyFileSync,
  existsSync,
  mkdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { problem } from '@fillwright/core/errors';
import { call, signedText, stickFile, stickNames, toSite } from '@fillwright/wire';
import { Option } from 'commander';
import { EXIT } from '../exit.ts';
import { must } from '../office.ts';
import { Stopped } from '../output.ts';
import { type Common, callerOf, command, outputOf } from './context.ts';

const PATIENCE_MS = 60_000;

export const bundle = command('bundle', 'all that a site without a link is owed, as a signed file to carry to its box')
  .requiredOption('--site <id>', 'for which site')
  .option('-o, --out <file>', 'where to write it; without it, by the site’s name in this folder')
  .action(async (options: Common & { site: string; out?: string }) => {
    const out = outputOf(options);
    const text = must(await call(callerOf(options), 'stickFor', { params: { site: options.site } }));
    const file = resolve(options.out ?? stickNames.to(options.site));
    writeWhole(file, JSON.stringify(text));
    out.line(`${file}: carry it to the box and leave it there under the name ${stickNames.to(options.site)}.`);
    out.value({ file });
  });

export const siteTake = command(
  'site-take',
  'give the box on this machine a file from the office, and fetch its answer',
  false,
)
  .argument('<file>', 'what `fillwright bundle` wrote')
  .addOption(
    new Option('--data <folder>', 'where the box keeps its keys and its journal')
      .env('FILLWRIGHT_SITE_DATA')
      .default('.fillwright/site'),
  )
  .action(async (file: string, options: Common & { data: string }) => {
    const out = outputOf(options);
    const site = siteIn(file);
    const folder = join(resolve(options.data), 'stick');
    const given = join(folder, stickNames.to(site));
    const answer = join(folder, stickNames.from(site));
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    rmSync(answer, { force: true });
    copyFileSync(file, `${given}.new`);
    renameSync(`${given}.new`, given);
    const end = Date.now() + PATIENCE_MS;
    // The box writes anew while it takes what is in the file: the last of it is what counts.
    while (!existsSync(answer) || Date.now() - statSync(answer).mtimeMs < 5_000) {
      if (Date.now() > end) throw new Stopped([problem('FW-418', { at: { in: folder } })]);
      await new Promise((done) => setTimeout(done, 250));
    }
    const beside = join(dirname(resolve(file)), stickNames.from(site));
    writeWhole(beside, readFileSync(answer, 'utf8'));
    rmSync(given);
    rmSync(answer);
    const { refused } = JSON.parse((JSON.parse(readFileSync(beside, 'utf8')) as { signed: string }).signed) as {
      refused: { code: string; cause: string } | null;
    };
    out.line(refused ? `The box did not take it: ${refused.code} ${refused.cause}` : 'The box took it.');
    out.line(`${beside}: carry it back to the office.`);
    out.value({ answer: beside, refused });
    if (refused) process.exitCode = EXIT.look;
  });

export const officeTake = command(
  'office-take',
  'take the file that a box wrote; exit code 3 where something wants a look',
)
  .argument('<file>', 'what the box wrote')
  .action(async (file: string, options: Common) => {
    const out = outputOf(options);
    const text = signedText.safeParse(jsonIn(file));
    if (!text.success) throw new Stopped([problem('FW-414', { at: { in: file } })]);
    const taken = must(await call(callerOf(options), 'takeStick', { body: text.data }));
    out.line(`${taken.site}: ${taken.entries} entries in the file; all up to ${taken.upTo} are here.`);
    if (taken.setAside > 0) out.line(`${taken.setAside} were set aside, whole, for a person to look at.`);
    if (taken.more) out.line('The box holds more: make a new file for it, so that it writes the rest.');
    if (taken.refused) out.line(`The box did not take its file: ${taken.refused.code} ${taken.refused.cause}`);
    out.value(taken);
    if (taken.setAside > 0 || taken.more || taken.refused) process.exitCode = EXIT.look;
  });

function siteIn(file: string): string {
  const text = stickFile.safeParse(jsonIn(file));
  const inside = text.success ? toSite.safeParse(JSON.parse(text.data.signed)) : undefined;
  if (!inside?.success) throw new Stopped([problem('FW-417', { at: { in: file } })]);
  return inside.data.site;
}

function jsonIn(file: string): unknown {
  try {
    return JSON.parse(readFileSync(file, 'utf8'));
  } catch {
    return undefined;
  }
}

function writeWhole(file: string, text: string): void {
  writeFileSync(`${file}.new`, text, { flush: true });
  renameSync(`${file}.new`, file);
}
