import { extname } from 'node:path';
import { problem } from '@fillwright/core/errors';
import { urlOf } from '@fillwright/wire';
import { Argument } from 'commander';
import { Stopped } from '../output.ts';
import { type Common, command, outputOf } from './context.ts';
import { download } from './files.ts';

const ROUTE = { '.pdf': 'statementPdf', '.xlsx': 'statementBook', '.csv': 'statementCsv' } as const;

export const statement = command(
  'statement',
  'write what was drawn, taxed and is due between two days, by cost centre; a closed period as it was kept',
)
  .addArgument(new Argument('<kind>', 'which statement').choices(['account']))
  .requiredOption('--from <date>', 'first day, such as 2026-11-01, by the calendar at each site.')
  .requiredOption('--to <date>', 'last day.')
  .requiredOption('-o, --output <file>', 'where to write it; the ending says as what: .pdf, .xlsx or .csv.')
  .action(async (_kind: string, options: Common & { from: string; to: string; output: string }) => {
    const out = outputOf(options);
    const { from, to, output } = options;
    const ending = extname(output).toLowerCase();
    if (!(ending in ROUTE))
      throw new Stopped([
        problem('FW-902', {
          at: { field: '--output' },
          found: output,
          expected: 'a file that ends in .pdf, .xlsx or .csv',
        }),
      ]);
    const route = ROUTE[ending as keyof typeof ROUTE];
    const bytes = await download(options, urlOf(route, { query: { from, to } }), output);
    out.line(`${output}: ${bytes} bytes.`);
    out.value({ file: output, bytes });
  });
