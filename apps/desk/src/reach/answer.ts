import { compile, revise } from '@fillwright/core/decide';
import { type AnyRow, emptyFleet, type Fleet, fromJson } from '@fillwright/core/fleet';
import { Book, checkExpectations, LiveDifference, reachTable, revisedTable, type Table } from '@fillwright/core/reach';
import { call } from '@fillwright/wire';
import { takePart } from '../data/findings-message.ts';
import { UTC, zoneKnown } from '../show/site-time.ts';
import { hereOf } from './here.ts';
import type { Ask, FromReach, ToReach } from './message.ts';
import { namesAt } from './names.ts';
import { toldOf } from './told.ts';

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
    say({ kind: 'here', here: hereOf(draft, ask.place) });
  } else if (ask.kind === 'names') {
    kept = { today: ask.today, draft, running: null };
    say({ kind: 'names', names: namesAt(draft, ask.place, ask.hose, ask.minute) });
  } else if (ask.kind === 'expectations') {
    kept = { today: ask.today, draft, running: null };
    say(expectationsOf(draft, say));
  } else say(await changeOf(draft, ask, say));
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

function expectationsOf(draft: Table, say: (answer: FromReach) => void): FromReach {
  const steps = checkExpectations(draft, [...draft.policy.fleet.expectations.values()]);
  for (;;) {
    const step = steps.next();
    if (step.done) return { kind: 'expectations', verdicts: step.value };
    say({ kind: 'progress', ...step.value });
  }
}

async function changeOf(
  draft: Table,
  { since, today, about }: Extract<Ask, { kind: 'change' }>,
  say: (answer: FromReach) => void,
): Promise<FromReach> {
  const running = kept?.running;
  if (kept?.today === today && running?.since === since && running.live.edit(draft)) {
    kept = { today, draft, running };
    return { kind: 'change', told: toldOf(running.live.difference(), running.live.before, draft, since, about) };
  }
  const { settings } = draft.policy.fleet;
  const old = since === null ? { ok: true as const, value: emptyFleet(settings) } : await released(since);
  if (!old.ok) return { kind: 'failed', sentence: old.error };
  const before = tableOf(old.value, today, draft.book);
  const steps = LiveDifference.begin(before, draft);
  let said = -1;
  for (;;) {
    const step = steps.next();
    if (step.done) {
      kept = { today, draft, running: { since, live: step.value } };
      return { kind: 'change', told: toldOf(step.value.difference(), before, draft, since, about) };
    }
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
