import { compile, revise } from '@fillwright/core/decide';
import { emptyFleet, type Fleet, fromJson } from '@fillwright/core/fleet';
import {
  Book,
  LiveDifference,
  reachTable,
  revisedTable,
  type SitePair,
  sitePair,
  type Table,
} from '@fillwright/core/reach';
import { call } from '@fillwright/wire';
import { UTC, zoneKnown } from '../show/site-time.ts';
import { driven, type Say } from './driven.ts';
import type { Pair, Version } from './message.ts';

/** Days that are looked at, today included. */
const DAYS = 365;
const zones = (zone: string) => zoneKnown(zone) ?? UTC;

/** Two that are compared; `sites` where they are sites of one fleet. */
export interface Two {
  readonly live: LiveDifference;
  readonly sites: SitePair | null;
}

/** What stands between two questions, so that the next costs only what is new in it. */
export class Kept {
  private today = Number.NaN;
  private draft: Table | null = null;
  /** The difference of a release and the draft: it takes in edits of the draft. */
  private running: { readonly since: number | null; readonly live: LiveDifference } | null = null;
  /** What else was compared last, and of what: the draft by its table. */
  private compared: (Two & { readonly of: readonly unknown[] }) | null = null;

  /** The draft's table: that of before where nothing was edited, with the edits since, or anew where it cannot be revised. */
  draftOf(fleet: Fleet, today: number, edited: boolean): Table {
    if (today !== this.today) {
      this.draft = null;
      this.running = null;
      this.compared = null;
      this.today = today;
    }
    const settings = ({ settings }: Fleet) => JSON.stringify(settings);
    if (this.draft && !edited && settings(this.draft.policy.fleet) === settings(fleet)) return this.draft;
    // A difference takes in edits from where it stands.
    const from = this.running?.live.after ?? this.draft;
    const policy = from && revise(from.policy, fleet, zones);
    this.draft = from && policy ? revisedTable(from, policy) : this.tableOf(fleet, from?.book ?? new Book());
    return this.draft;
  }

  /** The difference of a release and the draft; or why there is none. */
  async since(since: number | null, draft: Table, say: Say): Promise<LiveDifference | string> {
    const { running } = this;
    if (running?.since === since && (running.live.after === draft || running.live.edit(draft))) return running.live;
    const old = await fleetOf(since, draft);
    if (typeof old === 'string') return old;
    const live = driven(LiveDifference.begin(this.tableOf(old, draft.book), draft), say);
    this.running = { since, live };
    return live;
  }

  /** The two of a pair, as they were kept where neither is another since; or why they cannot be compared. */
  async two(pair: Pair, draft: Table, say: Say): Promise<Two | string> {
    if (pair.kind === 'fleets' && pair.after === 'draft' && pair.before !== 'draft') {
      const live = await this.since(pair.before, draft, say);
      return typeof live === 'string' ? live : { live, sites: null };
    }
    const side = (version: Version) => (version === 'draft' ? draft : version);
    const { kind } = pair;
    const of =
      kind === 'fleets' ? [kind, side(pair.before), side(pair.after)] : [kind, side(pair.of), pair.first, pair.second];
    const { compared } = this;
    if (compared && of.every((one, n) => one === compared.of[n])) return compared;
    // Two pairs of a large fleet need not lie beside each other.
    this.compared = null;
    const tables = await this.tablesOf(pair, draft);
    if (typeof tables === 'string') return tables;
    const { before, after, sites } = tables;
    this.compared = { live: driven(LiveDifference.begin(before, after), say), sites, of };
    return this.compared;
  }

  private async tablesOf(pair: Pair, draft: Table) {
    if (pair.kind === 'sites') {
      const table = await this.versionOf(pair.of, draft);
      if (typeof table === 'string') return table;
      const sites = sitePair(table, pair.first, pair.second);
      return { before: sites.before, after: sites.after, sites };
    }
    const before = await this.versionOf(pair.before, draft);
    if (typeof before === 'string') return before;
    const after = await this.versionOf(pair.after, draft);
    return typeof after === 'string' ? after : { before, after, sites: null };
  }

  /** The table of a version; beside the draft in the draft's own book, so that the two can be compared. */
  private async versionOf(version: Version, draft: Table): Promise<Table | string> {
    if (version === 'draft') return draft;
    const fleet = await fleetOf(version, draft);
    return typeof fleet === 'string' ? fleet : this.tableOf(fleet, draft.book);
  }

  private tableOf(fleet: Fleet, book: Book): Table {
    return reachTable(compile(fleet, zones), [this.today, this.today + DAYS - 1], book);
  }
}

/** The fleet of a release, or of nothing; or why it could not be read. */
async function fleetOf(release: number | null, draft: Table): Promise<Fleet | string> {
  if (release === null) return emptyFleet(draft.policy.fleet.settings);
  const here = { base: '', fetch: (input: RequestInfo | URL, init?: RequestInit) => fetch(input, init) };
  const asked = await call(here, 'fleet', { query: { which: String(release) } });
  const cannot = (cause: string) => `Release ${release} could not be read: ${cause}`;
  if (!asked.ok) return cannot(asked.error.problem.cause);
  const read = fromJson(asked.value.fleet);
  return read.ok ? read.value : cannot(read.error[0]?.cause ?? '');
}
