import { type Entry, type EntryOf, entrySchema } from '@fillwright/core/island';
import { z } from 'zod';
import type { Absorbed } from './absorb.ts';

/** The fills that are not over, with the last thing that is durable about each, and each hose's last known counter. */
export interface OpenFill {
  readonly fill: string;
  readonly authorised: EntryOf<'authorised'>;
  readonly checkpoint: EntryOf<'checkpoint'> | null;
}

const shape = z.strictObject({
  open: z.array(z.strictObject({ fill: z.string(), authorised: entrySchema, checkpoint: entrySchema.nullable() })),
  counts: z.record(z.string(), z.int()),
});

export interface Kept {
  readonly open: readonly OpenFill[];
  readonly counts: Readonly<Record<string, number>>;
}

const KEY = 'fills';

export class Fills {
  #kept: Kept = { open: [], counts: {} };

  load(text: string | undefined): void {
    if (text !== undefined) this.#kept = shape.parse(JSON.parse(text)) as Kept;
  }

  get kept(): Kept {
    return this.#kept;
  }

  absorb(entry: Entry, fill: string): Absorbed | undefined {
    const kept = after(this.#kept, entry, fill);
    if (kept === this.#kept) return undefined;
    return {
      writes: { [KEY]: JSON.stringify(kept) },
      commit: () => {
        this.#kept = kept;
      },
    };
  }
}

function after(kept: Kept, entry: Entry, fill: string): Kept {
  const counts = countsAfter(kept.counts, entry);
  if (entry.kind === 'authorised')
    return { counts, open: [...kept.open, { fill, authorised: entry, checkpoint: null }] };
  if (entry.kind === 'checkpoint')
    return { counts, open: kept.open.map((o) => (o.fill === entry.fill ? { ...o, checkpoint: entry } : o)) };
  if (entry.kind === 'ended') return { counts, open: kept.open.filter((o) => o.fill !== entry.fill) };
  return counts === kept.counts ? kept : { ...kept, counts };
}

function countsAfter(counts: Kept['counts'], entry: Entry): Kept['counts'] {
  if (entry.kind !== 'checkpoint' && entry.kind !== 'ended' && entry.kind !== 'alarm') return counts;
  if (entry.hose === undefined || typeof entry.count !== 'number' || counts[entry.hose] === entry.count) return counts;
  return { ...counts, [entry.hose]: entry.count };
}
