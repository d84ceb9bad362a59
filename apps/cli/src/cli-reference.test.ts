import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { cliReference } from './cli-reference.ts';
import { program } from './program.ts';

const PAGE = new URL('../../../docs/reference/cli.md', import.meta.url);

describe('the command line’s reference', () => {
  it('is the page', async () => {
    await expect(cliReference(program())).toMatchFileSnapshot('../../../docs/reference/cli.md');
  });

  it('names every command and every option', () => {
    const page = readFileSync(PAGE, 'utf8');
    const missing = program().commands.flatMap((c) => [
      ...(page.includes(`\n## ${c.name()}\n`) ? [] : [c.name()]),
      ...c.options.filter((o) => !page.includes(`\`${o.flags}\``)).map((o) => `${c.name()} ${o.flags}`),
    ]);
    expect(missing).toEqual([]);
  });

  it('describes every command and every option', () => {
    const bare = program().commands.flatMap((c) => [
      ...(c.description() === '' ? [c.name()] : []),
      ...c.options.filter((o) => o.description === '').map((o) => `${c.name()} ${o.flags}`),
    ]);
    expect(bare).toEqual([]);
  });
});
