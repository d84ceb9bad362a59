import { compile, LEAST_USEFUL } from '@fillwright/core/decide';
import { emptyFleet, type Fleet, type TableName, WEEK_MINUTES } from '@fillwright/core/fleet';
import {
  accessOf,
  Book,
  checkExpectations,
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
import { zoneOrUtc } from '../ledger/zones.ts';
import { DAYS, NAMES } from './days.ts';
import { difference, why } from './difference.ts';
import type { AnswerTo, Question } from './question.ts';
import { pairs, week } from './week.ts';

/** Answers one question, saying how far it is. */
export function* work(question: Question): Generator<Progress, AnswerTo[Question['kind']]> {
  if (question.kind === 'difference') {
    const book = new Book();
    const before = tableOf(question.before, question.today, book);
    return yield* difference(before, tableOf(question.after, question.today, book), question, null);
  }
  const table = tableOf(question.fleet, question.today, new Book());
  if (question.kind === 'sites') {
    const pair = sitePair(table, question.first, question.second);
    return yield* difference(pair.before, pair.after, question, pair);
  }
  if (question.kind === 'week') return yield* week(table, question);
  if (question.kind === 'expectations') return yield* expectations(table, question.fleet);
  return yield* reach(table, question);
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
