import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';

/** Whether strace is there and may look: a container without leave to trace is as good as none. */
export const STRACE = spawnSync('strace', ['-o', '/dev/null', 'true'], { timeout: 20_000 }).status === 0;
export const SKIPPED = STRACE ? '' : ' (SKIPPED: strace is not here or may not look)';

const at = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

/** The child as one file of JavaScript: a process that starts in a tenth of the time. */
export async function builtChild(): Promise<{ readonly file: string; readonly remove: () => void }> {
  const folder = mkdtempSync(join(tmpdir(), 'journal-child-'));
  symlinkSync(at('../../../../node_modules'), join(folder, 'node_modules'));
  await build({
    configFile: false,
    logLevel: 'silent',
    ssr: { noExternal: true, external: ['better-sqlite3'] },
    build: { ssr: at('./child.ts'), outDir: join(folder, 'out'), emptyOutDir: true },
  });
  return { file: join(folder, 'out', 'child.js'), remove: () => rmSync(folder, { recursive: true, force: true }) };
}

export interface Ended {
  readonly code: number | null;
  readonly signal: NodeJS.Signals | null;
  readonly said: string;
  /** What strace wrote, line by line. */
  readonly lines: readonly string[];
}

/** Runs node with `args` under strace. */
export function underStrace(options: readonly string[], out: string, args: readonly string[]): Promise<Ended> {
  return new Promise((resolve, reject) => {
    const child = spawn('strace', ['-f', '-o', out, ...options, process.execPath, ...args], {
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    let said = '';
    for (const stream of [child.stdout, child.stderr])
      stream.setEncoding('utf8').on('data', (part: string) => {
        said += part;
      });
    child.on('error', reject);
    child.on('close', (code, signal) => resolve({ code, signal, said, lines: readFileSync(out, 'utf8').split('\n') }));
  });
}
