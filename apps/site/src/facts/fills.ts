import { type Entry, type EntryOf, entrySchema } from '@fillwright/core/island';
import { KEPT_LAGS } from '@fillwright/core/metering';
import { z } from 'zod';
import type { Absorbed } from './absorb.ts';

/** The fills that are not over, each with the place of its authorisation in the journal, and each hose's last known counter. */
interface OpenFill {
  readonly fill: string;
  readonly seq: number;
  readonly authorised: EntryOf<'authorised'>;
}

const shape = z.strictObject({
  open: z.array(z.strictObject({ fill: z.string(), seq: z.int(), authorised: entrySchema })),
  counts: z.record(z.string(), z.int()),
  lags: z.record(z.string(), z.array(z.int().min(0))).default({}),
});

export interface Kept {
  readonly open: readonly OpenFill[];
  readonly counts: Readonly<Record<string, number>>;
  /** What each hose ran on after closing at a limit, newest last: outlives what of the journal is trimmed. */
  readonly lags: Readonly<Record<string, readonly number[]>>;
}

const KEY = 'fills';

export class Fills {
  #kept: Kept = { open: [], counts: {}, lags: {} };

  load(text: string | undefined): void {
    if (text !== undefined) this.#kept = shape.parse(JSON.parse(text)) as Kept;
  }

  get kept(): Kept {
    return this.#kept;
  }

  absorb(entry: Entry, fill: string, seq: number): Absorbed | undefined {
    const kept = after(this.#kept, entry, fill, seq);
    if (kept === this.#kept) return undefined;
    return {
      writes: { [KEY]: JSON.stringify(kept) },
      commit: () => {
        this.#kept = kept;
      },
    };
  }
}

function after(kept: Kept, entry: Entry, fill: string, seq: number): Kept {
  const counts = countsAfter(kept.counts, entry);
  const { lags, open } = kept;
  if (entry.kind === 'authorised') return { counts, lags, open: [...open, { fill, seq, authorised: entry }] };
  if (entry.kind === 'ended')
    return { counts, lags: lagsAfter(lags, entry), open: open.filter((o) => o.fill !== entry.fill) };
  return counts === kept.counts ? kept : { ...kept, counts };
}

function lagsAfter(lags: Kept['lags'], { hose, lagPulses }: EntryOf<'ended'>): Kept['lags'] {
  if (lagPulses === null) return lags;
  return { ...lags, [hose]: [...(lags[hose] ?? []), Math.max(0, lagPulses)].slice(-KEPT_LAGS) };
}

function countsAfter(counts: Kept['counts'], entry: Entry): Kept['counts'] {
  if (entry.kind !== 'checkpoint' && entry.kind !== 'ended' && entry.kind !== 'alarm') return counts;
  if (entry.hose === undefined || typeof entry.count !== 'number' || counts[entry.hose] === entry.count) return counts;
  return { ...counts, [entry.hose]: entry.count };
}
