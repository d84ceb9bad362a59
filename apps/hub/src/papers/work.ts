import { compile, nameOf } from '@fillwright/core/decide';
import { accessStatement, reachTable } from '@fillwright/core/reach';
import { formatDate, formatMinute, localMoment } from '@fillwright/core/units';
import { accessPaper, makePdf, type Paper } from '@fillwright/paper';
import { zoneOrUtc } from '../ledger/zones.ts';
import type { Question } from './question.ts';

/** What an access statement speaks of: a year from the day on which it is made. */
const DAYS = 366;

interface Progress {
  readonly done: number;
  readonly of: number;
}

/** Sets one paper, saying how far it is: what it says is found site by site, and setting it is one step. */
export async function* work(question: Question): AsyncGenerator<Progress, Uint8Array> {
  return makePdf(question.kind === 'pdf' ? question.paper : yield* access(question));
}

function* access({ fleet, about, of, at, site }: Extract<Question, { kind: 'access' }>): Generator<Progress, Paper> {
  const zone = zoneOrUtc(site === undefined ? undefined : fleet.sites.get(site)?.zone);
  const { day, minute } = localMoment(zone, at);
  const table = reachTable(
    compile(fleet, (name) => zoneOrUtc(name)),
    [day, day + DAYS - 1],
  );
  const clock = site === undefined ? 'UTC' : `by the clock at ${nameOf(fleet, 'sites', site)}`;
  const words = `${formatDate(day)} ${formatMinute(minute)} ${clock}`;
  return accessPaper(fleet, yield* accessStatement(table, about), of, { at, words });
}
