import { type Fleet, unitOf, volumeWords } from '@fillwright/core/fleet';
import {
  type ChangeGroup,
  type LiveDifference,
  NARROWED_TO_NOTHING,
  type Names,
  type Narrowed,
  type Narrowing,
  narrowed,
  type Progress,
  type Reason,
  ruleWords,
  type SitePair,
  sectionsOf,
  type Table,
} from '@fillwright/core/reach';
import { formatDate, formatMinute } from '@fillwright/core/units';
import type { ChangeReply, DifferenceReply } from '@fillwright/wire';
import { DAYS, NAMES } from './days.ts';
import type { Wish, Within } from './question.ts';

/** Groups of one kind of which it is found out whom they touch, the largest: there may be thousands, and each takes a look over the fleet. */
const LISTED = 60;

/** Two tables that are compared, ready for one question after another; `pair` where they are two sites. */
export interface Held {
  readonly live: LiveDifference;
  readonly pair: SitePair | null;
}

/** What differs, as the office tells it. */
export function* difference({ live, pair }: Held, wish: Wish): Generator<Progress, DifferenceReply> {
  const { today, within, week } = wish;
  const { before, after } = live;
  const [old, next] = [before.policy.fleet, after.policy.fleet];
  const part = within || week ? yield* narrowed(live, sectionsOf(old, next, narrowing(old, next, within))) : null;
  const found = part ?? live.difference();
  const counts = { gained: 0, lost: 0, raised: 0, lowered: 0 };
  const listed = found.groups.filter((g) => ++counts[g.kind] <= LISTED);
  const { gained, lost, raised, lowered } = found.points;
  const groups: ChangeReply[] = [];
  for (const g of listed) {
    groups.push(changeOf(g, before, after, pair));
    yield { done: groups.length, of: listed.length };
  }
  return {
    days: [formatDate(today), formatDate(today + DAYS - 1)],
    points: { gained: `${gained}`, lost: `${lost}`, raised: `${raised}`, lowered: `${lowered}` },
    looked: `${found.looked}`,
    counts,
    groups,
    ...(part && week ? weekOf(part, old, next, within) : { weeks: null, unchanged: null }),
  };
}

function narrowing(old: Fleet, next: Fleet, within: Within | null): Narrowing {
  if (within === null) return NARROWED_TO_NOTHING;
  const { site, ...who } = within;
  const at = (fleet: Fleet) => [...fleet.hoses.values()].filter((h) => h.site === site).map((h) => h.id);
  return { ...who, hoses: site === null ? null : new Set([...at(old), ...at(next)]), span: null };
}

function weekOf(part: Narrowed, old: Fleet, next: Fleet, within: Within | null) {
  const touched = part.touched();
  const { driver = null, vehicle = null, department = null } = within ?? {};
  const same = (table: 'drivers' | 'vehicles') => {
    const one = table === 'drivers' ? driver : vehicle;
    const rows = department === null && one === null && (driver ?? vehicle) !== null ? [] : [...next[table].values()];
    const asked = rows.filter((r) =>
      department === null ? one === null || r.id === one : r.department === department,
    );
    const untouched = asked.filter((r) => !touched[table].has(r.id));
    return { count: untouched.length, names: untouched.slice(0, NAMES).map((r) => r.name) };
  };
  return {
    weeks: [...part.weeks].map(([id, stretches]) => ({
      product: (next.products.get(id) ?? old.products.get(id))?.name ?? id,
      stretches: [...stretches],
    })),
    unchanged: { drivers: same('drivers'), vehicles: same('vehicles') },
  };
}

function changeOf(g: ChangeGroup, before: Table, after: Table, pair: SitePair | null): ChangeReply {
  const [old, next] = [before.policy.fleet, after.policy.fleet];
  const called = (table: 'drivers' | 'vehicles' | 'sites' | 'products', id: string): string =>
    (next[table].get(id) ?? old[table].get(id))?.name ?? id;
  const named = (table: 'drivers' | 'vehicles' | 'sites', ids: Names) => ({
    count: ids.size,
    names: firstOf(ids, NAMES).map((id) => called(table, id)),
  });
  const { witness: w } = g;
  const [first, second] = pair?.hoses.get(w.hose) ?? [w.hose, w.hose];
  const hose = (g.kind === 'lost' || g.kind === 'lowered' ? first : second) ?? first ?? w.hose;
  const reply = {
    kind: g.kind,
    product: called('products', g.product),
    drivers: named('drivers', g.drivers),
    vehicles: named('vehicles', g.vehicles),
    sites: named('sites', g.sites),
    hoses: g.hoses.size,
    before: [...g.before] as [number, number],
    after: [...g.after] as [number, number],
    whyBefore: why(old, before.book.reasons[g.whyBefore]),
    whyAfter: why(next, after.book.reasons[g.whyAfter]),
    points: `${g.points}`,
    witness: {
      ...{ driver: w.driver, vehicle: w.vehicle, hose, before: w.before, after: w.after },
      ...{ date: formatDate(w.day), time: formatMinute(w.minute) },
    },
  };
  return { ...reply, text: textOf(reply, next) };
}

function textOf(c: Omit<ChangeReply, 'text'>, fleet: Fleet): string {
  const unit = unitOf(fleet.settings);
  const volume = (n: number) => (n === 0 ? 'nothing' : volumeWords(n, unit));
  const range = ([least, most]: readonly [number, number]) =>
    least === most ? volume(most) : `${volume(least)} to ${volume(most)}`;
  const who = [namesAndMore(c.drivers), namesAndMore(c.vehicles)].filter((t) => t !== '').join(', with ');
  return `${who}: ${c.product} at ${namesAndMore(c.sites)}, ${range(c.before)} → ${range(c.after)} (${c.whyAfter})`;
}

const namesAndMore = ({ count, names }: { count: number; names: readonly string[] }): string =>
  count > names.length
    ? `${names.join(', ')} and ${count - names.length} more`
    : names.length > 1
      ? `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`
      : (names[0] ?? '');

const firstOf = (ids: Iterable<string>, most: number): string[] => {
  const list: string[] = [];
  for (const id of ids) if (list.push(id) === most) break;
  return list;
};

export const why = (fleet: Fleet, reason: Reason | undefined): string =>
  reason ? ruleWords(fleet, reason) : 'not open to them';
