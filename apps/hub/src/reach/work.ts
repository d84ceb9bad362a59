import { compile, LEAST_USEFUL } from '@fillwright/core/decide';
import { emptyFleet, type Fleet, type TableName, unitOf, WEEK_MINUTES } from '@fillwright/core/fleet';
import {
  accessOf,
  Book,
  type ChangeGroup,
  checkExpectations,
  differenceOf,
  type Names,
  type PartyClass,
  type Progress,
  type Reason,
  reachTable,
  ruleWords,
  sentenceWords,
  type Table,
  verdictWords,
} from '@fillwright/core/reach';
import { formatDate, formatMinute, formatVolume } from '@fillwright/core/units';
import type { ChangeReply, DifferenceReply, ExpectationReply, ReachRow } from '@fillwright/wire';
import { zoneOrUtc } from '../ledger/zones.ts';
import type { AnswerTo, Question } from './question.ts';

/** Days that reach and its difference look at, today included. */
const DAYS = 365;
const NAMES = 3;
/** Groups of one kind of which it is found out whom they touch, the largest: there may be thousands, and each takes a look over the fleet. */
const LISTED = 60;

/** Answers one question, saying how far it is. */
export function* work(question: Question): Generator<Progress, AnswerTo[Question['kind']]> {
  if (question.kind === 'difference') return yield* difference(question);
  const table = tableOf(question.fleet, question.today, new Book());
  if (question.kind === 'expectations') return yield* expectations(table, question.fleet);
  return yield* reach(table, question);
}

const tableOf = (fleet: Fleet, today: number, book: Book): Table =>
  reachTable(compile(withTables(fleet), zoneOrUtc), [today, today + DAYS - 1], book);

/** A release of an older version may lack a table that came later. */
const withTables = (fleet: Fleet): Fleet => ({ ...emptyFleet(fleet.settings), ...fleet });

function* difference(q: Extract<Question, { kind: 'difference' }>): Generator<Progress, DifferenceReply> {
  const book = new Book();
  const [before, after] = [tableOf(q.before, q.today, book), tableOf(q.after, q.today, book)];
  const found = yield* differenceOf(before, after);
  const counts = { gained: 0, lost: 0, raised: 0, lowered: 0 };
  const listed = found.groups.filter((g) => ++counts[g.kind] <= LISTED);
  const { gained, lost, raised, lowered } = found.points;
  return {
    days: [formatDate(q.today), formatDate(q.today + DAYS - 1)],
    points: { gained: `${gained}`, lost: `${lost}`, raised: `${raised}`, lowered: `${lowered}` },
    looked: `${found.looked}`,
    counts,
    groups: yield* listing(listed, before, after),
  };
}

function* listing(groups: readonly ChangeGroup[], before: Table, after: Table): Generator<Progress, ChangeReply[]> {
  const list: ChangeReply[] = [];
  for (const g of groups) {
    list.push(changeOf(g, before, after));
    yield { done: list.length, of: groups.length };
  }
  return list;
}

function changeOf(g: ChangeGroup, before: Table, after: Table): ChangeReply {
  const [old, next] = [before.policy.fleet, after.policy.fleet];
  const called = (table: 'drivers' | 'vehicles' | 'sites' | 'products', id: string): string =>
    (next[table].get(id) ?? old[table].get(id))?.name ?? id;
  const named = (table: 'drivers' | 'vehicles' | 'sites', ids: Names) => ({
    count: ids.size,
    names: first(ids, NAMES).map((id) => called(table, id)),
  });
  const { witness: w } = g;
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
      ...{ driver: w.driver, vehicle: w.vehicle, hose: w.hose, before: w.before, after: w.after },
      ...{ date: formatDate(w.day), time: formatMinute(w.minute) },
    },
  };
  return { ...reply, text: textOf(reply, next) };
}

function textOf(c: Omit<ChangeReply, 'text'>, fleet: Fleet): string {
  const unit = unitOf(fleet.settings);
  const volume = (n: number) => (n === 0 ? 'nothing' : `${formatVolume(n, unit)} ${unit}`);
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

const first = (ids: Iterable<string>, most: number): string[] => {
  const list: string[] = [];
  for (const id of ids) if (list.push(id) === most) break;
  return list;
};

const why = (fleet: Fleet, reason: Reason | undefined): string =>
  reason ? ruleWords(fleet, reason) : 'not open to them';

function* expectations(table: Table, fleet: Fleet): Generator<Progress, ExpectationReply[]> {
  const rows = [...table.policy.fleet.expectations.values()];
  const verdicts = yield* checkExpectations(table, rows);
  return rows.map((row): ExpectationReply => {
    const verdict = verdicts.get(row.id) ?? { verdict: 'idle' as const };
    const c = verdict.verdict === 'broken' ? verdict.counterexample : null;
    return {
      id: row.id,
      sentence: sentenceWords(fleet, row),
      wish: row.wish,
      verdict: verdict.verdict,
      text: verdictWords(fleet, verdict),
      counterexample: c && {
        ...{ driver: c.driver, vehicle: c.vehicle, site: c.site, hose: c.hose },
        ...{ date: formatDate(c.day), time: formatMinute(c.minute), at: c.request.at },
        ...{ credentials: [...c.request.credentials], limit: c.limit, rule: c.rule, mend: c.mend },
      },
    };
  });
}

function* reach(table: Table, q: Extract<Question, { kind: 'reach' }>): Generator<Progress, ReachRow[]> {
  const rows: ReachRow[] = [];
  const hoses = table.hoses.filter((h) => q.site === null || h.siteId === q.site);
  const all = q.driver === null && q.vehicle === null;
  const parties: readonly (readonly ['driver' | 'vehicle', readonly PartyClass[]])[] = [
    ['driver', all ? table.drivers : one(table.driverOf, q.driver)],
    ['vehicle', all ? table.vehicles : one(table.vehicleOf, q.vehicle)],
  ];
  for (const [n, hose] of hoses.entries()) {
    for (const [kind, classes] of parties) {
      for (const party of classes) {
        const alone = accessOf(
          table,
          kind === 'driver' ? { driver: party, vehicle: null } : { driver: null, vehicle: party },
          hose,
        );
        const own =
          party.mute || (party.sites !== null && party.sites[hose.site] !== 1)
            ? null
            : party.list.at(hose.site, hose.product);
        const steps = alone ?? (own && table.book.least(own, hose.most));
        if (!steps || steps.top < LEAST_USEFUL || party.days.length === 0) continue;
        const named = kind === 'driver' ? q.driver : q.vehicle;
        const ids = named === null ? party.members.map((m) => m.id) : [named];
        rows.push({
          site: hose.siteId,
          hoses: hose.members.map((m) => m.row.id),
          product: hose.members[0]?.row.product ?? '',
          kind,
          who: { count: ids.length, names: ids.slice(0, NAMES).map((id) => nameIn(table, `${kind}s`, id)) },
          alone: alone !== null,
          days: pairs(party.days),
          stretches: steps.from.map((from, i) => {
            const room = steps.room[i] as number;
            return {
              from,
              to: steps.from[i + 1] ?? WEEK_MINUTES,
              room: room < LEAST_USEFUL ? 0 : room,
              by: why(table.policy.fleet, table.book.reasons[steps.why[i] as number]),
            };
          }),
        });
      }
    }
    yield { done: n, of: hoses.length };
  }
  return rows;
}

const one = (of: ReadonlyMap<string, PartyClass>, id: string | null): readonly PartyClass[] => {
  const party = id === null ? undefined : of.get(id);
  return party ? [party] : [];
};

const nameIn = (table: Table, name: Extract<TableName, 'drivers' | 'vehicles'>, id: string): string =>
  table.policy.fleet[name].get(id)?.name ?? id;

function pairs(days: readonly number[]): [string, string][] {
  const list: [string, string][] = [];
  for (let i = 0; i < days.length; i += 2)
    list.push([formatDate(days[i] as number), formatDate(days[i + 1] as number)]);
  return list;
}
