import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Command, type Started, startProcess } from './processes.ts';
import { until } from './wait.ts';

export const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const MAIN = join(ROOT, 'apps/cli/src/main.ts');

/** What a test file started: folders, processes and databases, all of which end with it, also when it fails. */
export interface Stage {
  /** A new empty folder. */
  folder(name: string): string;
  start(command: Command): Started;
  /** The command line `fillwright` as a process of its own. */
  fillwright(name: string, args: readonly string[], env?: Readonly<Record<string, string>>): Started;
  /** An office's data folder, so that its database is ended with the stage. */
  office(folder: string): void;
  /** Runs a command to its end. */
  run(args: readonly string[], env?: Readonly<Record<string, string>>): Promise<Ran>;
  /** The last lines of all that run or ran, newest last. */
  tails(lines?: number): string;
  end(): Promise<void>;
}

export interface Ran {
  readonly code: number | NodeJS.Signals;
  readonly stdout: string;
  /** Both streams. */
  readonly all: string;
}

/** Processes whose command line names this path. */
export function processesIn(path: string): { pid: number; args: string }[] {
  const lines = execFileSync('ps', ['-eo', 'pid=,args='], { encoding: 'utf8', maxBuffer: 16_000_000 }).split('\n');
  return lines
    .filter((line) => line.includes(path))
    .map((line) => ({ pid: Number.parseInt(line, 10), args: line.trim().replace(/^\d+ /, '') }))
    .filter(({ pid }) => pid !== process.pid && alive(pid));
}

export function openStage(): Stage {
  const top = mkdtempSync(join(tmpdir(), 'fillwright-e2e-'));
  const started: Started[] = [];
  const offices = new Set<string>();
  let n = 0;
  const stage: Stage = {
    folder: (name) => join(top, `${++n}-${name}`),
    start(command) {
      const it = startProcess(command);
      started.push(it);
      return it;
    },
    fillwright: (name, args, env = {}) =>
      stage.start({
        name,
        program: process.execPath,
        args: ['--import', 'tsx', MAIN, ...args],
        cwd: ROOT,
        env: { FILLWRIGHT_HOME: join(top, 'home'), FILLWRIGHT_LOG: 'warn', ...env },
      }),
    async run(args, env) {
      const it = stage.fillwright(`fillwright ${args[0]}`, args, env);
      const code = await it.ended;
      return { code, stdout: it.stdout(), all: it.tail() };
    },
    office: (folder) => void offices.add(folder),
    tails: (lines = 25) =>
      started
        .slice(-6)
        .map((s) => s.tail(lines))
        .join('\n'),
    async end() {
      for (const s of [...started].reverse()) if (s.running) s.signal('SIGTERM');
      const all = Promise.all(started.map((s) => s.ended));
      await Promise.race([all, new Promise((done) => setTimeout(done, 15_000).unref())]);
      for (const s of started) s.signalAll('SIGKILL');
      for (const folder of offices) await endDatabase(folder);
      // What they started in groups of their own: all of it names this folder.
      for (const { pid } of processesIn(top)) process.kill(pid, 'SIGKILL');
      // FILLWRIGHT_KEEP leaves the folders for somebody who wants to see why a long run failed.
      if (process.env.FILLWRIGHT_KEEP) console.info(`kept: ${top}`);
      else rmSync(top, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
    },
  };
  return stage;
}

/** The process number of an office's own database, while it runs. */
export function databasePid(folder: string): number | undefined {
  const data = join(folder, 'postgres');
  const file = join(data, 'postmaster.pid');
  if (!existsSync(file)) return undefined;
  const pid = Number(readFileSync(file, 'utf8').split('\n')[0]);
  try {
    return readFileSync(`/proc/${pid}/cmdline`, 'utf8').includes(data) ? pid : undefined;
  } catch {
    return undefined;
  }
}

/** Ends the database that a killed office left behind. */
export async function endDatabase(folder: string, signal: NodeJS.Signals = 'SIGQUIT'): Promise<void> {
  const pid = databasePid(folder);
  if (pid === undefined) return;
  process.kill(pid, signal);
  await until('the database has ended', () => !alive(pid), { ms: 30_000 }).catch(() => undefined);
}

export function alive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    // A zombie that nobody has waited for is not alive.
    return !/^State:\s+Z/m.test(readFileSync(`/proc/${pid}/status`, 'utf8'));
  } catch {
    return false;
  }
}
