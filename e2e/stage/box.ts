import type { SiteView } from '@fillwright/site';
import type { Office } from './office.ts';
import type { Started } from './processes.ts';
import type { Stage } from './stage.ts';
import { until } from './wait.ts';

export interface BoxFlags {
  readonly pace: number;
  /** Seed of the people who come; left out, nobody comes. */
  readonly traffic?: string;
}

/** One box over all the processes that serve it: same folder. */
export class Box {
  readonly folder: string;
  readonly site: string;
  process: Started | undefined;
  url = '';
  readonly #stage: Stage;
  #token = '';

  constructor(stage: Stage, site: string) {
    this.#stage = stage;
    this.site = site;
    this.folder = stage.folder(`site-${site}`);
  }

  async join(office: Office, flags: BoxFlags): Promise<void> {
    await this.#run(flags, ['--office', office.url, '--join', await office.joinCode(this.site)]);
  }

  start(flags: BoxFlags): Promise<void> {
    return this.#run(flags, []);
  }

  async #run(flags: BoxFlags, more: readonly string[]): Promise<void> {
    this.process = this.#stage.fillwright(`site ${this.site}`, [
      'site',
      '--data',
      this.folder,
      '--port',
      '0',
      '--pace',
      String(flags.pace),
      ...(flags.traffic === undefined ? [] : ['--traffic', flags.traffic]),
      ...more,
    ]);
    this.url = (await this.process.line(/(http:\/\/127\.0\.0\.1:\d+)/))[1] ?? '';
    this.#token = '';
  }

  async kill(): Promise<void> {
    this.process?.signalAll('SIGKILL');
    await this.process?.ended;
  }

  async stop(): Promise<void> {
    this.process?.signal('SIGTERM');
    await until('the box ends when it is told to', () => !this.process?.running, {
      ms: 60_000,
      evidence: () => this.#stage.tails(),
    });
  }

  async view(): Promise<SiteView> {
    const response = await fetch(`${this.url}/api/view`, { signal: AbortSignal.timeout(20_000) });
    return (await response.json()) as SiteView;
  }

  /** Does at the terminal's page what a person does there. */
  async act(act: Readonly<Record<string, unknown>>): Promise<void> {
    if (this.#token === '') {
      const page = await (await fetch(`${this.url}/`)).text();
      this.#token = /name="page-token" content="([^"]+)"/.exec(page)?.[1] ?? '';
    }
    const response = await fetch(`${this.url}/api/act`, {
      method: 'POST',
      signal: AbortSignal.timeout(20_000),
      headers: { 'content-type': 'application/json', 'x-page-token': this.#token },
      body: JSON.stringify(act),
    });
    if (!response.ok) throw new Error(`${JSON.stringify(act)}: HTTP ${response.status} ${await response.text()}`);
  }

  until<T>(what: string, ask: (view: SiteView) => T | Promise<T>, ms?: number) {
    return until(what, async () => ask(await this.view()), {
      ...(ms === undefined ? {} : { ms }),
      evidence: async () =>
        `${JSON.stringify(await this.view().catch(() => 'no view'), null, 1).slice(0, 4_000)}\n${this.#stage.tails()}`,
    });
  }
}
