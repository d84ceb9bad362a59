import { spawn, spawnSync } from 'node:child_process';
import { closeSync, openSync, readFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { freshFolder, open, value } from './folder.ts';

/**
 * What the kernel is asked for, in its order, as strace sees it: the one way to know that a sync happened, for a process that is killed loses
 * nothing that it left to the kernel. Where strace is missing or may not look, the check is skipped and says so.
 */
const watches = (): boolean => spawnSync('strace', ['-o', '/dev/null', 'true'], { timeout: 20_000 }).status === 0;

/** Does `act` while strace writes down the syncs and writes of this process; each line with the file's name. */
async function traced(folder: string, act: () => void): Promise<string[]> {
  const out = join(folder, 'calls');
  const calls = 'trace=fsync,fdatasync,write,pwrite64';
  const tracer = spawn('strace', ['-f', '-y', '-s', '40', '-e', calls, '-o', out, '-p', String(process.pid)]);
  let said = '';
  await new Promise<void>((resolve, reject) => {
    tracer.stderr.on('data', (text) => {
      said += text;
      if (said.includes('attached')) resolve();
    });
    tracer.on('exit', () => reject(new Error(said)));
  });
  // All threads are attached a moment after the first is reported.
  await new Promise((resolve) => setTimeout(resolve, 300));
  act();
  const ended = new Promise((resolve) => tracer.once('exit', resolve));
  tracer.removeAllListeners('exit');
  const over = new Promise((resolve) => tracer.once('close', resolve));
  tracer.kill('SIGINT');
  await Promise.race([ended, over]);
  return readFileSync(out, 'utf8').split('\n');
}

describe.skipIf(!watches())('as the kernel sees it (skipped where strace is missing)', () => {
  it('every entry that is reported was synced before', async () => {
    const folder = freshFolder();
    const journal = open(join(folder, 'journal.db'), { checkpointPages: 20 });
    const marks = openSync(join(folder, 'marks'), 'w');
    const lines = await traced(folder, () => {
      for (let seq = 1; seq <= 30; seq++) {
        value(journal.setWith({ counter: String(seq) }, `fill ${seq} ${'v'.repeat(200)}`, seq));
        writeSync(marks, `reported ${seq};`);
      }
    });
    closeSync(marks);
    journal.close();
    let unsynced: string[] = [];
    let written = 0;
    let reported = 0;
    for (const line of lines) {
      const log = line.includes('journal.db-wal>');
      if (log && /\bp?write(64)?\(/.test(line)) {
        unsynced.push(line);
        written++;
      } else if (log && /\bf(data)?sync\(/.test(line)) unsynced = [];
      else if (line.includes('reported ')) {
        expect(unsynced, `at ${line}`).toEqual([]);
        expect(written).toBeGreaterThan(0);
        written = 0;
        reported++;
      }
    }
    expect(reported).toBe(30);
  });
});
