import { compile, revise } from '@fillwright/core/decide';
import { type AnyRow, emptyFleet, type Fleet, fromJson } from '@fillwright/core/fleet';
import {
  Book,
  checkExpectations,
  hereOf,
  LiveDifference,
  NARROWED_TO_NOTHING,
  type Narrowing,
  narrowed,
  type Progress,
  reachTable,
  revisedTable,
  type SitePair,
  sectionsOf,
  sectionsOfCredential,
  sitePair,
  type Table,
} from '@fillwright/core/reach';
import { call } from '@fillwright/wire';
import { takePart } from '../data/findings-message.ts';
import { UTC, zoneKnown } from '../show/site-time.ts';
import { behindOf, comparedOf } from './compared.ts';
import type { About, Ask, FromReach, ToReach, Version } from './message.ts';
import { namesAt } from './names.ts';
import { decides, type Told, toldOf } from './told.ts';

/** Days that are looked at, today included. */
const DAYS = 365;
const rows: Record<string, Map<string, AnyRow>> = {};
/** Tables that changed since the last answer: what was made from the maps of before keeps those. */
const fresh = new Set<string>();

/** What stands between two questions, so that the next costs only what was edited. */
interface Kept {
  readonly today: number;
  readonly draft: Table;
  readonly running: { readonly since: number | null; readonly live: LiveDifference } | null;
}
let kept: Kept | null = null;

/** Takes in one message; where something is asked, says how far it is and then the answer. */
export async function take({ settings, part, ask }: ToReach, say: (answer: FromReach) => void): Promise<void> {
  if (part) {
    if (!fresh.has(part.table)) rows[part.table] = new Map(rows[part.table]);
    fresh.add(part.table);
    takePart(rows, part);
  }
  if (!ask) return;
  fresh.clear();
  const draft = draftOf({ ...emptyFleet(settings), ...rows } as unknown as Fleet, ask.today);
  if (ask.kind === 'here') {
    kept = { today: ask.today, draft, running: null };
    say({ kind: 'here', here: driven(hereOf(draft, ask.place), say) });
  } else if (ask.kind === 'names') {
    kept = { today: ask.today, draft, running: null };
    say({ kind: 'names', names: namesAt(draft, ask.place, ask.hose, ask.minute) });
  } else if (ask.kind === 'expectations') {
    kept = { today: ask.today, draft, running: null };
    const list = [...draft.policy.fleet.expectations.values()];
    say({ kind: 'expectations', verdicts: driven(checkExpectations(draft, list), say) });
  } else if (ask.kind === 'change') say(await changeOf(draft, ask, say));
  else say(await comparison(draft, ask, say));
}

const zones = (zone: string) => zoneKnown(zone) ?? UTC;
const tableOf = (fleet: Fleet, today: number, book: Book) =>
  reachTable(compile(fleet, zones), [today, today + DAYS - 1], book);

/** The draft's table: that of before with the edits since, or anew where it cannot be revised. */
function draftOf(fleet: Fleet, today: number): Table {
  if (kept?.today !== today) return tableOf(fleet, today, new Book());
  const policy = revise(kept.draft.policy, fleet, zones);
  return policy ? revisedTable(kept.draft, policy) : tableOf(fleet, today, kept.draft.book);
}

/** The difference of a release and the draft, kept for the next edit; or why there is none. */
async function liveSince(
  draft: Table,
  since: number | null,
  today: number,
  say: (answer: FromReach) => void,
): Promise<LiveDifference | string> {
  const running = kept?.running;
  if (kept?.today === today && running?.since === since && running.live.edit(draft)) {
    kept = { today, draft, running };
    return running.live;
  }
  const old = await fleetOf(since, draft);
  if (typeof old === 'string') return old;
  const live = driven(LiveDifference.begin(tableOf(old, today, draft.book), draft), say);
  kept = { today, draft, running: { since, live } };
  return live;
}

async function changeOf(
  draft: Table,
  { since, today, about }: Extract<Ask, { kind: 'change' }>,
  say: (answer: FromReach) => void,
): Promise<FromReach> {
  const live = await liveSince(draft, since, today, say);
  if (typeof live === 'string') return { kind: 'failed', sentence: live };
  if (about === null) return { kind: 'change', told: toldOf(live.difference(), live.before, draft, { since }) };
  return { kind: 'change', told: aboutOf(live, about, since) };
}

/** Beside an edited record only the largest groups of each kind are shown. */
const MOST_BESIDE = 6;

function aboutOf(live: LiveDifference, { table, id }: About, since: number | null): Told {
  const { before, after } = live;
  const options = { since, most: MOST_BESIDE };
  if (table === 'allowances') return toldOf(live.difference(), before, after, { ...options, only: decides(id, after) });
  if (table === 'products')
    return toldOf(live.difference(), before, after, { ...options, only: (group) => group.product === id });
  const [old, next] = [before.policy.fleet, after.policy.fleet];
  const found = driven(narrowed(live, sectionsAbout(old, next, table, id)), () => {});
  return toldOf(found, before, after, options);
}

function sectionsAbout(
  old: Fleet,
  next: Fleet,
  table: Exclude<About['table'], 'allowances' | 'products'>,
  id: string,
): ReturnType<typeof sectionsOf> {
  if (table === 'credentials') return sectionsOfCredential(old, next, id);
  const to = (part: Partial<Narrowing>) => sectionsOf(old, next, { ...NARROWED_TO_NOTHING, ...part });
  if (table === 'drivers') return to({ driver: id });
  if (table === 'vehicles') return to({ vehicle: id });
  if (table === 'hoses') return to({ hoses: new Set([id]) });
  const at = (fleet: Fleet) => [...fleet.hoses.values()].filter((h) => h.site === id).map((h) => h.id);
  return to({ hoses: new Set([...at(old), ...at(next)]) });
}

/** Two releases that were compared last, so that looking at a part of them does not begin anew. */
let releases: { readonly key: string; readonly live: LiveDifference } | null = null;

async function comparison(
  draft: Table,
  ask: Extract<Ask, { kind: 'compare' | 'behind' }>,
  say: (answer: FromReach) => void,
): Promise<FromReach> {
  const { pair, within, today } = ask;
  if (kept?.today !== today) kept = { today, draft, running: null };
  let sites: SitePair | null = null;
  let live: LiveDifference | string;
  const [first, second] = [halfOf(say, 0), halfOf(say, 1)];
  if (pair.kind === 'sites') {
    const table = await versionOf(draft, pair.of, today);
    if (typeof table === 'string') return { kind: 'failed', sentence: table };
    sites = sitePair(table, pair.first, pair.second);
    live = driven(LiveDifference.begin(sites.before, sites.after), first);
  } else if (pair.after === 'draft' && pair.before !== 'draft')
    live = await liveSince(draft, pair.before, today, first);
  else live = await releasesOf(draft, pair.before, pair.after, today, first);
  if (typeof live === 'string') return { kind: 'failed', sentence: live };
  const since = pair.kind === 'fleets' && typeof pair.before === 'number' ? pair.before : null;
  if (ask.kind === 'behind') return { kind: 'behind', told: driven(behindOf(live, ask, since, sites), second) };
  return { kind: 'compare', compared: driven(comparedOf(live, within, since, sites), second) };
}

async function releasesOf(
  draft: Table,
  before: Version,
  after: Version,
  today: number,
  say: (answer: FromReach) => void,
): Promise<LiveDifference | string> {
  const key = `${before} ${after} ${today}`;
  if (releases?.key === key) return releases.live;
  const old = await versionOf(draft, before, today);
  if (typeof old === 'string') return old;
  const next = await fleetOf(after, draft);
  if (typeof next === 'string') return next;
  const later = after === 'draft' ? draft : tableOf(next, today, old.book);
  const live = driven(LiveDifference.begin(old, later), say);
  releases = before === 'draft' || after === 'draft' ? null : { key, live };
  return live;
}

/** The table of a version; beside the draft in the draft's own book, so that the two can be compared. */
async function versionOf(draft: Table, version: Version, today: number): Promise<Table | string> {
  if (version === 'draft') return draft;
  const fleet = await fleetOf(version, draft);
  return typeof fleet === 'string' ? fleet : tableOf(fleet, today, draft.book);
}

/** The fleet of a version, or why it could not be read. */
async function fleetOf(version: Version, draft: Table): Promise<Fleet | string> {
  if (version === 'draft') return draft.policy.fleet;
  if (version === null) return emptyFleet(draft.policy.fleet.settings);
  const read = await released(version);
  return read.ok ? read.value : read.error;
}

/** Says the progress of the first or the second half of some work. */
const halfOf =
  (say: (answer: FromReach) => void, half: 0 | 1) =>
  (answer: FromReach): void =>
    say(answer.kind === 'progress' ? { ...answer, done: answer.done + half * answer.of, of: 2 * answer.of } : answer);

/** Drives long work to its end, saying each percent of it once. */
function driven<T>(steps: Generator<Progress, T>, say: (answer: FromReach) => void): T {
  let said = -1;
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
    const { done, of } = step.value;
    const percent = Math.floor((done * 100) / Math.max(1, of));
    if (percent > said) say({ kind: 'progress', done, of });
    said = percent;
  }
}

async function released(number: number) {
  const here = { base: '', fetch: (input: RequestInfo | URL, init?: RequestInit) => fetch(input, init) };
  const asked = await call(here, 'fleet', { query: { which: String(number) } });
  const cannot = (cause: string) => ({ ok: false as const, error: `Release ${number} could not be read: ${cause}` });
  if (!asked.ok) return cannot(asked.error.problem.cause);
  const read = fromJson(asked.value.fleet);
  return read.ok ? read : cannot(read.error[0]?.cause ?? '');
}
