import { compile, LEAST_USEFUL } from '@fillwright/core/decide';
import { emptyFleet, type Fleet, type TableName, WEEK_MINUTES } from '@fillwright/core/fleet';
import {
  accessOf,
  Book,
  checkExpectations,
  LiveDifference,
  type PartyClass,
  type Progress,
  reachTable,
  sentenceWords,
  sitePair,
  type Table,
  verdictWords,
} from '@fillwright/core/reach';
import { formatDate, formatMinute } from '@fillwright/core/units';
import type { ExpectationReply, ReachRow } from '@fillwright/wire';
import { whyTold } from '../ledger/why-told.ts';
import { zoneOrUtc } from '../ledger/zones.ts';
import { DAYS, NAMES } from './days.ts';
import { difference, type Held, why } from './difference.ts';
import type { AnswerTo, Question, Two } from './question.ts';
import { pairs, week } from './week.ts';

/** The two that were compared last: the next question may be of a part of the same. */
let held: Held | null = null;

/** Answers one question, saying how far it is. */
export function* work(question: Question): Generator<Progress, AnswerTo[Question['kind']]> {
  if (question.kind === 'difference') {
    if (question.two) {
      // Two pairs of large fleets need not lie beside each other.
      held = null;
      held = yield* compared(question.two, question.today);
    }
    if (!held) throw new Error('nothing is held to ask about');
    return yield* difference(held, question);
  }
  held = null;
  if (question.kind === 'why') return whyTold(question.base, question.wanted);
  const table = tableOf(question.fleet, question.today, new Book());
  if (question.kind === 'week') return yield* week(table, question);
  if (question.kind === 'expectations') return yield* expectations(table, question.fleet);
  return yield* reach(table, question);
}

function* compared(two: Two, today: number): Generator<Progress, Held> {
  const book = new Book();
  if (two.of === 'fleets') {
    const before = tableOf(two.before, today, book);
    return { live: yield* LiveDifference.begin(before, tableOf(two.after, today, book)), pair: null };
  }
  const pair = sitePair(tableOf(two.fleet, today, book), two.first, two.second);
  return { live: yield* LiveDifference.begin(pair.before, pair.after), pair };
}

const tableOf = (fleet: Fleet, today: number, book: Book): Table =>
  reachTable(compile(withTables(fleet), zoneOrUtc), [today, today + DAYS - 1], book);

/** A release of an older version may lack a table that came later. */
const withTables = (fleet: Fleet): Fleet => ({ ...emptyFleet(fleet.settings), ...fleet });

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
