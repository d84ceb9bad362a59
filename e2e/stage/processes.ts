import { type ChildProcess, spawn } from 'node:child_process';
import { until } from './wait.ts';

export interface Started {
  readonly name: string;
  readonly pid: number;
  /** Everything that it said on either stream, the last 400 lines. */
  tail(lines?: number): string;
  /** All of its standard output so far. */
  stdout(): string;
  /** The first line that matches, once it is said; fails when the process ends before. */
  line(pattern: RegExp, ms?: number): Promise<RegExpExecArray>;
  /** Exit code or signal, once it has ended. */
  readonly ended: Promise<number | NodeJS.Signals>;
  readonly running: boolean;
  /** To the process alone, as Ctrl-C and a supervisor do. */
  signal(signal: NodeJS.Signals): void;
  /** To it and all that it started in its own group. */
  signalAll(signal: NodeJS.Signals): void;
}

export interface Command {
  readonly name: string;
  readonly program: string;
  readonly args: readonly string[];
  readonly env?: Readonly<Record<string, string>>;
  readonly cwd?: string;
}

/** Starts a program as the leader of a process group of its own, so that everything it leaves behind can be ended. */
export function startProcess(command: Command): Started {
  const { name } = command;
  const child: ChildProcess = spawn(command.program, [...command.args], {
    detached: true,
    stdio: ['ignore', 'pipe', 'pipe'],
    env: { ...process.env, ...command.env },
    ...(command.cwd === undefined ? {} : { cwd: command.cwd }),
  });
  const said: string[] = [];
  let out = '';
  child.stdout?.setEncoding('utf8').on('data', (text: string) => {
    out = (out + text).slice(-4_000_000);
  });
  let end: number | NodeJS.Signals | undefined;
  for (const stream of [child.stdout, child.stderr]) {
    let rest = '';
    stream?.setEncoding('utf8').on('data', (text: string) => {
      const lines = (rest + text).split('\n');
      rest = lines.pop() ?? '';
      said.push(...lines);
      if (said.length > 2_000) said.splice(0, said.length - 2_000);
    });
    stream?.on('close', () => {
      if (rest !== '') said.push(rest);
    });
  }
  const ended = new Promise<number | NodeJS.Signals>((resolve) => {
    child.once('error', (cause) => {
      said.push(String(cause));
      end ??= 127;
      resolve(end);
    });
    child.once('close', (code, signal) => {
      end ??= code ?? signal ?? 1;
      resolve(end);
    });
  });
  const tail = (lines = 400) => `--- ${name}, its last lines ---\n${said.slice(-lines).join('\n')}\n`;
  const pid = child.pid ?? 0;
  return {
    name,
    pid,
    tail,
    stdout: () => out,
    ended,
    get running() {
      return end === undefined && child.exitCode === null && child.signalCode === null;
    },
    async line(pattern, ms = 120_000) {
      const find = () => {
        for (const line of said) {
          const match = pattern.exec(line);
          if (match) return match;
        }
        return undefined;
      };
      return until(`${name} says ${pattern}`, () => find() ?? (end === undefined ? undefined : ('ended' as const)), {
        ms,
        evidence: () => tail(60),
      }).then((found) => {
        if (found === 'ended') throw new Error(`${name} ended with ${end} before it said ${pattern}\n${tail(60)}`);
        return found;
      });
    },
    signal: (signal) => {
      if (end === undefined) child.kill(signal);
    },
    signalAll: (signal) => {
      try {
        if (pid > 0) process.kill(-pid, signal);
      } catch {
        // Nobody of the group is left.
      }
    },
  };
}
