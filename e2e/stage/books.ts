import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Entry, type EntryOf, entrySchema, fillIdOf } from '@fillwright/core/island';
import { openJournal } from '@fillwright/journal';
import type { Box } from './box.ts';
import type { Office } from './office.ts';

/** One fill as the site's own journal tells it. */
export interface Journalled {
  readonly id: string;
  readonly authorised: EntryOf<'authorised'>;
  readonly ends: readonly EntryOf<'ended'>[];
}

export interface JournalBook {
  readonly fills: readonly Journalled[];
  readonly entries: readonly { readonly seq: number; readonly hash: string; readonly entry: Entry }[];
  readonly acknowledged: number;
}

/** Reads the journal of a box that does not run. */
export function journalOf(box: Box): JournalBook {
  const keys = JSON.parse(readFileSync(join(box.folder, 'box.keys'), 'utf8')) as { box: string };
  const opened = openJournal({
    path: join(box.folder, 'journal.db'),
    box: keys.box,
    newEpoch: () => 'none',
  });
  if (!opened.ok) throw new Error(`the journal cannot be read: ${JSON.stringify(opened.error)}`);
  const journal = opened.value;
  try {
    if (journal.refusal) throw new Error(`the journal is damaged: ${JSON.stringify(journal.refusal)}`);
    const entries = journal.entries(1, journal.last()).map((row) => ({
      seq: row.seq,
      hash: row.hash,
      entry: entrySchema.parse(JSON.parse(Buffer.from(row.payload).toString('utf8'))),
    }));
    const ends = new Map<string, EntryOf<'ended'>[]>();
    for (const { entry } of entries)
      if (entry.kind === 'ended') ends.set(entry.fill, [...(ends.get(entry.fill) ?? []), entry]);
    const fills = entries.flatMap(({ seq, entry }) => {
      if (entry.kind !== 'authorised') return [];
      const id = fillIdOf(box.site, { epoch: journal.epoch, seq });
      return [{ id, authorised: entry, ends: ends.get(id) ?? [] }];
    });
    return { fills, entries, acknowledged: journal.acknowledged() };
  } finally {
    journal.close();
  }
}

/** A fill as one line of text, so that two books differ in lines that a person can read. */
const lineOf = (id: string, hose: string, pulses: number, ul: number, limitUl: number, overUl: number, how: string) =>
  `${id} ${hose} ${pulses} pulses ${ul} uL of ${limitUl} (over ${overUl}) ${how}`;

export const journalLines = (book: JournalBook): string[] =>
  book.fills
    .map(({ id, authorised: a, ends }) => {
      const [end] = ends;
      if (!end || ends.length > 1) return `${id} has ${ends.length} ends`;
      const how = end.reason === 'powerLoss' ? 'interrupted' : 'ended';
      return lineOf(id, a.hose, end.pulses, end.ul, a.limitUl, end.overUl, `${how} ${end.reason}`);
    })
    .sort();

export async function ledgerLines(office: Office): Promise<{ lines: string[]; volume: number; count: number }> {
  const { fills, volume, count } = await office.fills();
  const lines = fills.map((f) =>
    lineOf(f.id, f.hose, f.pulses, f.volume, f.limit, f.overrun, `${f.state} ${f.stopReason}`),
  );
  return { lines: lines.sort(), volume, count };
}
