import { call } from '@fillwright/wire';
import { expect } from 'vitest';
import { type JournalBook, journalLines, journalOf, ledgerLines } from './books.ts';
import type { Box, BoxFlags } from './box.ts';
import { must, type Office } from './office.ts';

/** 20 gal/min over a valve's mean lag of 180 ms, five deviations of 25 ms, 120 ms of closing and one 50 ms step of the yard. */
const LAG_UL = ((20 * 3_785_412) / 60_000) * (180 + 5 * 25 + 120 + 50);

/** Ends what flows by a plain stop, and starts without people so that the rest drains; the box is stopped when this returns. */
export async function drain(office: Office, box: Box, flags: BoxFlags): Promise<void> {
  await box.stop();
  await box.start(flags);
  await box.until('everything is sent and acknowledged', (v) => v.link === 'up' && v.unsent === 0);
  await office.until('the office knows that nothing is unsent', async () => {
    const site = await office.site(box.site);
    return site?.link === 'here' && site.unsent === 0 && !site.gap;
  });
  await box.stop();
}

/** Lays the books of box and office beside each other: the same fills, each once, to the pulse and the microlitre. */
export async function compareBooks(office: Office, box: Box): Promise<JournalBook> {
  const journal = journalOf(box);
  const ledger = await ledgerLines(office);
  expect(ledger.lines).toEqual(journalLines(journal));
  expect(ledger.count).toBe(journal.fills.length);
  expect(ledger.volume).toBe(journal.fills.reduce((sum, f) => sum + (f.ends[0]?.ul ?? 0), 0));
  expect(must(await call(office.caller, 'setAside', {}))).toEqual([]);

  // Nobody got more than was allowed and what a closing valve lets through.
  for (const { id, authorised, ends } of journal.fills)
    expect(ends[0]?.ul ?? 0, id).toBeLessThanOrEqual(authorised.limitUl + LAG_UL);
  expectEveryPulseTold(journal);
  return journal;
}

/** Counters begin at 0: what fills and alarms tell of a hose is its last count. */
function expectEveryPulseTold(journal: JournalBook): void {
  const told: Record<string, number> = {};
  const counts: Record<string, number> = {};
  for (const { entry } of journal.entries) {
    if (entry.kind !== 'ended' && entry.kind !== 'alarm' && entry.kind !== 'checkpoint') continue;
    const { hose } = entry;
    if (hose === undefined) continue;
    if (entry.kind !== 'checkpoint') told[hose] = (told[hose] ?? 0) + (entry.pulses ?? 0);
    if (typeof entry.count === 'number') counts[hose] = Math.max(entry.count, counts[hose] ?? 0);
  }
  expect(told).toEqual(counts);
}
