import type { Result } from '@fillwright/core/errors';
import { type Edit, editsBetween, emptyFleet, type Fleet } from '@fillwright/core/fleet';
import { type Caller, call, type Failure, type Fill, oneWordForAll, type SiteStatus } from '@fillwright/wire';
import { freePort } from './ports.ts';
import type { Started } from './processes.ts';
import { databasePid, type Stage } from './stage.ts';
import { until } from './wait.ts';

export const OWNER = { name: 'Wren Tallow', email: 'wren@wharf.example', password: 'quiet-harbour-lamp-41' } as const;

export function must<T>(result: Result<T, Failure>): T {
  if (result.ok) return result.value;
  const { status, all, problem } = result.error;
  throw new Error(`HTTP ${status} ${JSON.stringify(all.length > 0 ? all : problem)}`);
}

export interface OfficeFlags {
  /** A broker of one's own. */
  readonly mqttUrl?: string;
  /** Where boxes find it, when that is another address. */
  readonly mqttPublicUrl?: string;
}

/** An answer that does not come is a failure too. */
const patient: typeof fetch = (input, init) => fetch(input, { ...init, signal: AbortSignal.timeout(60_000) });

/** A caller that is signed in. */
export async function signedInAt(base: string, email: string, password: string): Promise<Caller> {
  let cookie = '';
  const listening: typeof fetch = async (input, init) => {
    const response = await patient(input, init);
    const cookies = response.headers.getSetCookie();
    cookie = cookies.map((c) => c.split(';')[0]).join('; ');
    return response;
  };
  must(await call({ base, fetch: listening }, 'signIn', { body: { email, password } }));
  return { base, fetch: patient, headers: { cookie } };
}

/** One office over all the processes that serve it: same folder, same ports. */
export class Office {
  readonly folder: string;
  readonly url: string;
  readonly port: number;
  readonly mqttPort: number;
  process: Started | undefined;
  readonly #stage: Stage;
  readonly #flags: OfficeFlags;
  #caller: Caller | undefined;

  private constructor(stage: Stage, port: number, mqttPort: number, flags: OfficeFlags) {
    this.#stage = stage;
    this.#flags = flags;
    this.folder = stage.folder('office');
    this.port = port;
    this.mqttPort = mqttPort;
    this.url = `http://127.0.0.1:${port}`;
    stage.office(this.folder);
  }

  static async open(stage: Stage, flags: OfficeFlags = {}): Promise<Office> {
    const office = new Office(stage, await freePort(), await freePort(), flags);
    await office.start();
    return office;
  }

  async start(): Promise<void> {
    const { mqttUrl, mqttPublicUrl } = this.#flags;
    const broker = mqttUrl === undefined ? ['--mqtt-port', String(this.mqttPort)] : ['--mqtt', mqttUrl];
    if (mqttPublicUrl !== undefined) broker.push('--mqtt-public', mqttPublicUrl);
    this.process = this.#stage.fillwright('office', [
      'start',
      '--data',
      this.folder,
      '--port',
      String(this.port),
      ...broker,
    ]);
    await this.process.line(/The desk is open at/);
  }

  /** Kills the office, and with `database` its PostgreSQL too, as when the machine loses its power. */
  async kill(database: boolean): Promise<void> {
    const pid = databasePid(this.folder);
    this.process?.signalAll('SIGKILL');
    if (database && pid !== undefined) process.kill(pid, 'SIGKILL');
    await this.process?.ended;
  }

  get anyone(): Caller {
    return { base: this.url, fetch: patient };
  }
  get caller(): Caller {
    return this.#caller ?? this.anyone;
  }

  /** Makes the owner, and signs in as them. */
  async makeOwner(fleet: Fleet): Promise<void> {
    const { name: fleetName, units, currency } = fleet.settings;
    must(await call(this.anyone, 'firstOwner', { body: { fleetName, units, currency, ...OWNER } }));
    await this.signIn();
  }

  async signIn(): Promise<void> {
    this.#caller = await signedInAt(this.url, OWNER.email, OWNER.password);
  }

  /** The whole fleet into the draft in one change, and a release with a word for each warning. */
  async commission(fleet: Fleet): Promise<void> {
    await this.makeOwner(fleet);
    await this.edit(...editsBetween(emptyFleet(fleet.settings), fleet));
    await this.release('First release');
  }

  /** Changes the draft as a desk would. */
  async edit(...edits: Edit[]): Promise<number> {
    const { version } = must(await call(this.caller, 'draft', {}));
    return must(await call(this.caller, 'editDraft', { body: { version, edits } })).version;
  }

  async release(note: string): Promise<number> {
    const preview = must(await call(this.caller, 'releasePreview', {}));
    const { version } = preview;
    const words = oneWordForAll(preview, must(await call(this.caller, 'releaseStands', {})), 'Meant so in the test.');
    return must(await call(this.caller, 'release', { body: { version, note, words } })).number;
  }

  async joinCode(site: string): Promise<string> {
    return must(await call(this.caller, 'joinCode', { params: { site } })).code;
  }

  async site(id: string): Promise<SiteStatus | undefined> {
    return must(await call(this.caller, 'sites', {})).find((s) => s.site === id);
  }

  /** Every line of the ledger, page by page. */
  async fills(): Promise<{ fills: Fill[]; volume: number; count: number }> {
    const fills: Fill[] = [];
    let before: string | undefined;
    for (;;) {
      const page = must(
        await call(this.caller, 'fills', { query: { limit: 1000, ...(before === undefined ? {} : { before }) } }),
      );
      fills.push(...page.fills);
      if (page.next === null) return { fills, volume: page.totals.volume, count: page.totals.fills };
      before = page.next;
    }
  }

  until<T>(what: string, ask: () => T | Promise<T>, ms?: number) {
    return until(what, ask, { ...(ms === undefined ? {} : { ms }), evidence: () => this.#stage.tails() });
  }
}
