import { urlOf } from '@fillwright/wire';
import { type Common, command, outputOf } from './context.ts';
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
