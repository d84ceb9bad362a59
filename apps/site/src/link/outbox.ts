/**
 * Which journal entries are on their way to the hub. A broker's word counts for nothing: an entry is under way until the hub
 * says that it has it. At most `WINDOW` batches are under way; when none is acknowledged in time, everything is sent again, later
 * each time. Pure: time and chance come in.
 */
export const WINDOW = 4;
const BATCH = 100;
const FIRST_WAIT_MS = 5_000;
const LONGEST_WAIT_MS = 120_000;

export interface Outbox {
  /** Everything up to here is stored at the hub. */
  readonly acknowledged: number;
  /** Last sequence numbers of the batches under way, ascending. */
  readonly underWay: readonly number[];
  /** When to send again, by the monotonic clock; null when nothing is under way. */
  readonly again: number | null;
  /** How often it was sent again since the last acknowledgement. */
  readonly tries: number;
}

export const emptyOutbox = (acknowledged: number): Outbox => ({ acknowledged, underWay: [], again: null, tries: 0 });

/** The next batch to send, as (after, most); undefined while the window is full or there is nothing more. */
export function nextBatch(outbox: Outbox, last: number): { readonly after: number; readonly most: number } | undefined {
  const after = outbox.underWay.at(-1) ?? outbox.acknowledged;
  return outbox.underWay.length < WINDOW && after < last ? { after, most: BATCH } : undefined;
}

/** A batch that ends at `to` has been handed to the broker at `at`. */
export function sent(outbox: Outbox, to: number, at: number, random: number): Outbox {
  if (to <= (outbox.underWay.at(-1) ?? outbox.acknowledged)) throw new RangeError('batches are sent in order');
  return { ...outbox, underWay: [...outbox.underWay, to], again: outbox.again ?? at + waitMs(outbox.tries, random) };
}

/** The hub has everything up to `upTo`. */
export function acknowledged(outbox: Outbox, upTo: number, at: number, random: number): Outbox {
  if (upTo <= outbox.acknowledged) return outbox;
  const underWay = outbox.underWay.filter((to) => to > upTo);
  const again = underWay.length > 0 ? at + waitMs(0, random) : null;
  return { acknowledged: upTo, underWay, again, tries: 0 };
}

/** Forgets what is under way when its time is over, so that it is sent again. */
export function overdue(outbox: Outbox, at: number): Outbox {
  if (outbox.again === null || at < outbox.again) return outbox;
  return { ...outbox, underWay: [], again: null, tries: outbox.tries + 1 };
}

/** The link is new: whatever was under way may be lost. */
export const relinked = (outbox: Outbox): Outbox => ({ ...outbox, underWay: [], again: null });

/** Doubles with every try up to two minutes; `random` in [0, 1) spreads it by a quarter, so that sites do not call in step. */
export const waitMs = (tries: number, random: number): number =>
  Math.min(FIRST_WAIT_MS * 2 ** Math.min(tries, 10), LONGEST_WAIT_MS) * (0.75 + random / 2);
