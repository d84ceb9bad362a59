import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

const MAIN = fileURLToPath(new URL('./main.ts', import.meta.url));

export interface SiteFlags {
  readonly folder: string;
  readonly name: string;
  readonly office: string;
  /** A one-time code where the box has not joined yet. */
  readonly code: string | undefined;
  readonly pace: string;
  readonly traffic: string;
  /** Which of how many yards that share the fleet's people, such as 2/3. */
  readonly place: string;
  /** Mean minutes between people. */
  readonly every: string;
}

/** One box as a process of its own, as it would be in a yard. */
export class SiteProcess {
  private readonly child: ChildProcess;
  private readonly name: string;
  private readonly page: Promise<string>;

  constructor(flags: SiteFlags) {
    this.name = flags.name;
    const args = [
      '--import',
      'tsx',
      MAIN,
      'site',
      '--data',
      flags.folder,
      '--port',
      '0',
      '--pace',
      flags.pace,
      '--traffic',
      flags.traffic,
      '--place',
      flags.place,
      '--every',
      flags.every,
    ];
    if (flags.code !== undefined) args.push('--office', flags.office, '--join', flags.code);
    // A process group of its own: Ctrl-C reaches the demo, which then ends its boxes in order.
    this.child = spawn(process.execPath, args, {
      stdio: ['ignore', 'pipe', 'inherit'],
      detached: true,
      env: { ...process.env, FILLWRIGHT_LOG: process.env.FILLWRIGHT_LOG ?? 'warn' },
    });
    this.page = new Promise((done, failed) => {
      if (this.child.stdout) {
        createInterface({ input: this.child.stdout }).on('line', (line) => {
          const at = /http:\/\/[\w.:[\]-]*[\w\]]/.exec(line);
          if (at) done(at[0]);
        });
      }
      this.child.once('exit', (code) =>
        failed(new Error(`${this.name} ended with exit code ${code} before it was ready`)),
      );
    });
    this.page.catch(() => undefined);
  }

  /** The address of the terminal's page, once the box runs. */
  ready(): Promise<string> {
    return this.page;
  }

  async stop(): Promise<void> {
    if (this.child.exitCode !== null || this.child.signalCode !== null) return;
    const gone = once(this.child, 'exit');
    this.child.kill('SIGTERM');
    const late = setTimeout(() => this.child.kill('SIGKILL'), 15_000);
    await gone;
    clearTimeout(late);
  }
}
