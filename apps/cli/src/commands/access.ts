import { call, urlOf } from '@fillwright/wire';
import { EXIT } from '../exit.ts';
import { must } from '../office.ts';
import { type Common, callerOf, command, outputOf } from './context.ts';
import { download } from './files.ts';

export const accessStatement = command('access-statement', 'write who may draw what as a PDF in plain words')
  .option('--site <id>', 'of everybody at this site')
  .option('--department <name>', 'of this department, at every site')
  .option('--driver <id>', 'of this driver')
  .option('--vehicle <id>', 'of this vehicle')
  .option('--which <release>', "'draft', the number of a release, or 'running' with --site", 'draft')
  .requiredOption('-o, --output <file.pdf>', 'where to write it')
  .action(
    async (
      options: Common & {
        site?: string;
        department?: string;
        driver?: string;
        vehicle?: string;
        which: string;
        output: string;
      },
    ) => {
      const out = outputOf(options);
      const { site, department, driver, vehicle, which, output } = options;
      const bytes = await download(
        options,
        urlOf('accessStatement', { query: { which, site, department, driver, vehicle } }),
        output,
      );
      out.line(`${output}: ${bytes} bytes.`);
      out.value({ file: output, bytes });
    },
  );

export const why = command(
  'why',
  'decide a fill or a refused session again, and say the smallest changes that would have helped',
)
  .argument('<id>', 'of a fill or a refusal, as the ledger and the desk show it')
  .option('--wanted <litres>', 'that should have been approved at least', '0')
  .action(async (id: string, options: Common & { wanted: string }) => {
    const out = outputOf(options);
    const wanted = Math.round(Number(options.wanted) * 1_000_000);
    const told = must(await call(callerOf(options), 'why', { params: { id }, query: { wanted } }));
    out.line(`${told.again.approved ? 'Approved' : 'Declined'} by ${told.again.by} under release ${told.revision}.`);
    if (!told.agrees)
      out.line(`The site recorded ${told.recorded.by}: what it knew then was other than what is known here.`);
    for (const line of told.taken) out.line(`Taken so: ${line}`);
    out.table(
      ['', 'Rule', 'Says', 'Why'],
      told.lines.map((l) => [l.decides ? '>' : '', l.title, l.says, l.text]),
    );
    for (const r of told.remedies) out.line(`- ${r.changes.map((c) => `${c.text} (${c.who})`).join(', and ')}`);
    if (told.remedies.length === 0 && !told.again.approved)
      out.line('No change of up to three things would have helped.');
    out.value(told);
    if (!told.agrees) process.exitCode = EXIT.look;
  });
