import type { Expectation } from '../../fleet/index.ts';
import type { Progress } from '../change.ts';
import type { Days } from '../days.ts';
import type { Table } from '../table.ts';
import { always } from './always.ts';
import { Cells } from './cells.ts';
import type { Checking } from './checking.ts';
import { Holdings } from './holdings.ts';
import { MinuteBook, NONE } from './minutes.ts';
import { never } from './never.ts';
import { Places } from './places.ts';
import { Pools } from './pools.ts';
import { Blocks, isNone, type Region } from './region.ts';
import { Lookup, type Sentence, sentenceOf, type Unread } from './sentence.ts';
import type { Verdict } from './verdict.ts';

/** How long a bundle holds, in days: expectations are looked at for so long. */
export const DAYS_LOOKED_AT = 90;

/**
 * The verdict on each expectation, exactly, by its id (SPEC.md). The table's horizon must hold the day of the check first. A generator, so
 * that whoever drives it can show how far it is, and stop it. Cost grows with the classes once, then with what each sentence speaks of.
 */
export function* checkExpectations(
  table: Table,
  rows: readonly Expectation[],
): Generator<Progress, ReadonlyMap<string, Verdict>> {
  const look = new Lookup(table.policy);
  const read = rows.map((row) => ({ row, sentence: sentenceOf(row, look) }));
  const [first, end] = table.horizon as readonly [number, number];
  const last = Math.min(end, first + DAYS_LOOKED_AT - 1);
  const sentences = read.flatMap(({ sentence }) => ('asks' in sentence ? sentence : []));
  const blocks = new Blocks(new MinuteBook(), first, last, datesOf(table, sentences));
  const cells = new Cells(table);
  const holdings = new Holdings(blocks, cells.all);
  const checking: Checking = {
    table,
    look,
    blocks,
    cells,
    holdings,
    pools: new Pools(table, blocks, cells.all, holdings),
    places: new Places(table, blocks, cells),
  };
  const verdicts = new Map<string, Verdict>();
  for (const [n, { row, sentence }] of read.entries()) {
    verdicts.set(row.id, verdictOn(checking, row, sentence));
    if (n % 8 === 0) yield { done: n, of: rows.length };
  }
  return verdicts;
}

function verdictOn(checking: Checking, row: Expectation, sentence: Sentence | Unread): Verdict {
  if (!('asks' in sentence)) return { verdict: 'unread', ...sentence };
  const wanted = wantedOf(checking.blocks, row, sentence);
  if (isNone(wanted)) return { verdict: 'idle' };
  return sentence.asks === 'never' ? never(checking, sentence, wanted) : always(checking, sentence, wanted);
}

/** The minutes that a sentence speaks of, on weekdays that occur. */
function wantedOf(blocks: Blocks, row: Expectation, { from, until }: Sentence): Region {
  const times = blocks.minutes.windows(row.times);
  return blocks.weekdays.map((weekdays, b) => {
    const [start, end] = blocks.spans[b] as readonly [number, number];
    if (start < (from ?? start) || end > (until ?? end)) return NONE;
    return blocks.minutes.and(times, weekdays);
  });
}

/** Every set of days at whose edges something may change. */
function* datesOf(table: Table, sentences: readonly Sentence[]): Generator<Days> {
  for (const party of [...table.drivers, ...table.vehicles]) yield party.days;
  for (const couple of table.couples) yield couple.days;
  for (const hose of table.hoses) yield hose.closed;
  for (const { from, until } of sentences) yield [from ?? 0, until ?? Number.MAX_SAFE_INTEGER];
}
