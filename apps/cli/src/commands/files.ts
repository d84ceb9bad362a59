import { readFileSync, writeFileSync } from 'node:fs';
import { basename } from 'node:path';
import type { Problem } from '@fillwright/core/errors';
import { problem } from '@fillwright/core/errors';
import { call, urlOf } from '@fillwright/wire';
import { EXIT } from '../exit.ts';
import { must } from '../office.ts';
import { problemText, Stopped } from '../output.ts';
import { type Common, callerOf, command, outputOf } from './context.ts';

function fileBytes(path: string): Uint8Array {
  try {
    return readFileSync(path);
  } catch (cause) {
    throw new Stopped([
      problem('FW-101', {
        cause: `The file ${path} cannot be read.`,
        mend: 'Check its name and that you may read it.',
        found: String(cause),
      }),
    ]);
  }
}

export const importBook = command(
  'import',
  'read an intake workbook, CSV file or roster into the draft, as one change that one undo takes back',
)
  .argument('<file>')
  .option('--look', 'only say what it would change; write nothing')
  .option('--mapping <file>', 'a corrected mapping of a roster’s columns, as JSON')
  .action(async (file: string, options: Common & { look?: boolean; mapping?: string }) => {
    const out = outputOf(options);
    const office = callerOf(options);
    let staged = must(await call(office, 'stageImport', { query: { name: basename(file) }, file: fileBytes(file) }));
    if (options.mapping) {
      const mapping: unknown = JSON.parse(Buffer.from(fileBytes(options.mapping)).toString('utf8'));
      staged = must(await call(office, 'mapImport', { params: { id: staged.id }, body: { mapping } }));
    }
    for (const p of staged.problems) out.note(problemText(p as Problem));
    const rows = Object.entries(staged.counts).map(([table, c]) => [
      table,
      String(c.new),
      String(c.changed),
      String(c.same),
    ]);
    out.table(['Table', 'New', 'Changed', 'Same'], rows);
    if (staged.kind === 'roster' && staged.mapping) out.line(`Mapping: ${JSON.stringify(staged.mapping)}`);
    let version: number | null = null;
    if (!options.look && staged.editCount > 0) {
      const draft = must(await call(office, 'draft', {}));
      version = must(
        await call(office, 'applyImport', { params: { id: staged.id }, body: { version: draft.version } }),
      ).version;
      out.line(`Taken into the draft as version ${version}: ${staged.editCount} rows.`);
    } else out.line(options.look ? 'Nothing was written.' : 'There was nothing to take.');
    out.value({ ...staged, edits: undefined, version });
    if (staged.problems.length > 0) process.exitCode = EXIT.look;
  });

/** Writes a file that the office makes; gives its size in bytes. */
export async function download(options: Common, path: string, to: string): Promise<number> {
  const office = callerOf(options);
  let response: Response;
  try {
    response = await fetch(office.base + path, { headers: { ...office.headers } });
  } catch (cause) {
    throw new Stopped([problem('FW-905', { found: String(cause) })]);
  }
  if (!response.ok) {
    const body = (await response.json().catch(() => ({}))) as { error?: Problem };
    throw new Stopped([body.error ?? problem('FW-505', { found: `HTTP ${response.status}` })]);
  }
  const bytes = new Uint8Array(await response.arrayBuffer());
  writeFileSync(to, bytes);
  return bytes.length;
}

export const exportBook = command('export', 'write the fleet as a workbook that imports to the same fleet')
  .argument('<file.xlsx>')
  .option('--which <release>', "'draft', or the number of a release", 'draft')
  .action(async (file: string, options: Common & { which: string }) => {
    const out = outputOf(options);
    const bytes = await download(options, urlOf('exportBook', { query: { which: options.which } }), file);
    out.line(`${file}: ${bytes} bytes.`);
    out.value({ file, bytes });
  });

export const template = command('template', 'write an empty intake workbook')
  .argument('<file.xlsx>')
  .action(async (file: string, options: Common) => {
    const out = outputOf(options);
    const bytes = await download(options, urlOf('template', {}), file);
    out.line(`${file}: ${bytes} bytes.`);
    out.value({ file, bytes });
  });

export const ledger = command('ledger', 'list fills, newest first, with totals of everything that matches')
  .option('--site <id>', 'only fills at this site')
  .option('--driver <id>', 'only fills of this driver')
  .option('--vehicle <id>', 'only fills of this vehicle')
  .option('--product <id>', 'only fills of this product')
  .option('--from <moment>', 'begun then or later, such as 2026-11-01 or 2026-11-01T06:00Z; a date is taken in UTC')
  .option('--to <moment>', 'begun before then')
  .option('--limit <n>', 'how many lines', '50')
  .option('--csv <file>', 'write everything that matches as CSV')
  .option('--xlsx <file>', 'write everything that matches as a workbook')
  .action(async (options: Common & Record<string, string | undefined>) => {
    const out = outputOf(options);
    const query = {
      ...pickText(options, ['site', 'driver', 'vehicle', 'product']),
      ...(options.from ? { from: momentOf(options.from, 'from') } : {}),
      ...(options.to ? { to: momentOf(options.to, 'to') } : {}),
    };
    if (options.csv) await download(options, urlOf('fillsCsv', { query }), options.csv);
    if (options.xlsx) await download(options, urlOf('fillsBook', { query }), options.xlsx);
    const page = must(await call(callerOf(options), 'fills', { query: { ...query, limit: Number(options.limit) } }));
    const rows = page.fills.map((f) => [
      new Date(f.startedAt).toISOString().slice(0, 16).replace('T', ' '),
      f.site,
      String(f.hoseNumber),
      f.driverName,
      f.vehicleName,
      f.product,
      (f.volume / 1_000_000).toFixed(2),
      f.amount === null ? '' : (f.amount / 10_000).toFixed(2),
      f.state === 'ended' ? (f.stopReason ?? '') : f.state,
    ]);
    out.table(['UTC', 'Site', 'Hose', 'Driver', 'Vehicle', 'Product', 'Litres', 'Amount', 'Ended by'], rows);
    out.line(
      `${page.totals.fills} fills, ${(page.totals.volume / 1_000_000).toFixed(2)} litres, ${(page.totals.amount / 10_000).toFixed(2)}`,
    );
    out.value(page);
  });

function pickText(
  options: Record<string, string | boolean | undefined>,
  names: readonly string[],
): Record<string, string> {
  const given: Record<string, string> = {};
  for (const name of names) if (typeof options[name] === 'string') given[name] = options[name];
  return given;
}

export function momentOf(text: string, option: string): number {
  const ms = Date.parse(text);
  if (Number.isNaN(ms))
    throw new Stopped([
      problem('FW-902', { at: { field: `--${option}` }, found: text, expected: 'a moment such as 2026-11-01T06:00Z' }),
    ]);
  return ms;
}
