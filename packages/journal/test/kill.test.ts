import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { openJournal } from '../src/index.ts';
import { code, freshFolder, open, options, text, value } from './folder.ts';

const APPENDER = fileURLToPath(new URL('./appender.ts', import.meta.url));
const KILLS = 20;
const AT_ONCE = 4;

/** Runs the appender until it has printed `lines` numbers, kills it with SIGKILL, and gives the last whole number that it printed. */
function killAfter(path: string, lines: number): Promise<number> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, ['--import', 'tsx', APPENDER, path], { stdio: ['ignore', 'pipe', 'pipe'] });
    let printed = '';
    let complaint = '';
    let seen = 0;
    child.stdout.setEncoding('utf8').on('data', (part: string) => {
      printed += part;
      seen += part.split('\n').length - 1;
      if (seen >= lines) child.kill('SIGKILL');
    });
    child.stderr.setEncoding('utf8').on('data', (part: string) => {
      complaint += part;
    });
    child.on('error', reject);
    child.on('close', (_code, signal) => {
      if (signal !== 'SIGKILL') reject(new Error(`ended by itself: ${complaint}`));
      else resolve(Number(printed.slice(0, printed.lastIndexOf('\n')).split('\n').at(-1)));
    });
  });
}

describe('a process killed while it appends', () => {
  it(`has lost nothing that it reported, ${KILLS} times`, async () => {
    const folder = freshFolder();
    // Each file is killed several times over; the number of lines before each kill comes from a fixed sequence.
    const lanes = Array.from({ length: AT_ONCE }, async (_, lane) => {
      const path = join(folder, `killed-${lane}.db`);
      for (let round = 0; round < KILLS / AT_ONCE; round++) {
        const reported = await killAfter(path, 1 + ((lane * 53 + round * 97) % 160));
        const journal = open(path);
        const last = journal.last();
        // What was under way at the kill may be there too, but not more than that one.
        expect(last).toBeGreaterThanOrEqual(reported);
        expect(journal.refusal).toBeUndefined();
        expect(value(journal.verify())).toBe(last);
        const wanted = Array.from({ length: last }, (_, i) => `fill ${i + 1} ${'v'.repeat((i + 1) % 200)}`);
        expect(journal.entries(1, last).map((e) => text(e.payload))).toEqual(wanted);
        expect(journal.get('counter')).toBe(String(last));
        journal.close();
      }
    });
    await Promise.all(lanes);
  });

  it('keeps every other process out while it lives', async () => {
    const path = join(freshFolder(), 'held.db');
    const child = spawn(process.execPath, ['--import', 'tsx', APPENDER, path], {
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    const ended = new Promise((resolve) => child.on('close', resolve));
    await new Promise((resolve) => child.stdout.once('data', resolve));
    expect(code(openJournal(options(path)))).toBe('FW-605');
    child.kill('SIGKILL');
    child.stdout.resume();
    await ended;
    const journal = open(path);
    expect(journal.last()).toBeGreaterThan(0);
    journal.close();
  });
});
