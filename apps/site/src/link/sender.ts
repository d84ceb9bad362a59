import { type Problem, ProblemError } from '@fillwright/core/errors';
import type { Entry, JournalPort } from '@fillwright/journal';
import type { AckMessage, AgainMessage, EntriesMessage, LostMessage } from '@fillwright/wire';
import type { Clock } from '../clock.ts';
import { acknowledged, emptyOutbox, nextBatch, type Outbox, overdue, relinked, sent } from './outbox.ts';

/** A batch is cut here, so that no message grows beyond what a small broker takes. */
const MOST_BYTES = 200_000;
/** So many entries are sent again at once. */
const AGAIN = 200;

export interface Sender {
  /** Sends what may be sent now: after a new entry, an acknowledgement, a new link. */
  push(): void;
  relinked(): void;
  ack(message: AckMessage): Problem | undefined;
  /** Sends the first batch of what the office lacks though it acknowledged it once; it asks for the next when it has stored this one. */
  again(message: AgainMessage): void;
  /**
   * For who carries it by hand, at most so many entries: what the office has asked for again, as far as it is kept, then what is not
   * acknowledged yet.
   */
  carry(most: number, again: readonly AgainMessage[]): Carried;
  readonly unsent: number;
  close(): void;
}

export interface Carried {
  readonly batches: EntriesMessage[];
  /** What was asked for again and is kept no more. */
  readonly lost: LostMessage[];
  /** There is more than was asked for. */
  readonly more: boolean;
}

export interface SenderOptions {
  readonly journal: JournalPort;
  readonly clock: Clock;
  readonly random: () => number;
  readonly say: (message: EntriesMessage) => boolean;
  readonly sayLost: (message: LostMessage) => boolean;
}

/** Forwards the journal: a window of batches, each sent again until the hub says that it has it. */
export function openSender({ journal, clock, random, say, sayLost }: SenderOptions): Sender {
  let outbox: Outbox = emptyOutbox(journal.acknowledged());
  let callOff = () => {};
  let due: number | null = null;
  let closed = false;

  function push(): void {
    if (closed) return;
    outbox = overdue(outbox, clock.monotonic());
    for (let next = nextBatch(outbox, journal.last()); next; next = nextBatch(outbox, journal.last())) {
      const message = batch(next.after, next.most);
      const to = message?.entries.at(-1)?.seq;
      if (!message || to === undefined || !say(message)) break;
      outbox = sent(outbox, to, clock.monotonic(), random());
    }
    if (outbox.again === due) return;
    callOff();
    due = outbox.again;
    callOff = due === null ? () => {} : clock.after(Math.max(0, due - clock.monotonic()), push);
  }

  function rows(after: number, most: number): readonly Entry[] {
    try {
      return journal.unacknowledged(after, most);
    } catch (error) {
      // Unreadable now: the journal's refusal says so, and the site serves nobody; what is on the disk stays for later.
      if (error instanceof ProblemError) return [];
      throw error;
    }
  }

  function kept(from: number, to: number): readonly Entry[] {
    try {
      return journal.entries(from, to);
    } catch (error) {
      if (error instanceof ProblemError) return [];
      throw error;
    }
  }

  /** What of a range that the office lacks is kept here, `from` to `end`, and what is not. */
  function lackedOf({ epoch, after, to }: AgainMessage): { from: number; end: number; lost?: LostMessage } {
    if (epoch !== journal.epoch) return { from: 1, end: 0 };
    const end = Math.min(to, journal.acknowledged());
    const gone = journal.anchor().seq;
    const from = Math.max(after, gone) + 1;
    if (gone <= after || end <= after) return { from, end };
    return { from, end, lost: { epoch, from: after + 1, to: Math.min(gone, end) } };
  }

  const batch = (after: number, most: number) => message(rows(after, most));

  function message(list: readonly Entry[]): EntriesMessage | undefined {
    let bytes = 0;
    const entries: EntriesMessage['entries'] = [];
    for (const row of list) {
      bytes += row.payload.length;
      if (entries.length > 0 && bytes > MOST_BYTES) break;
      entries.push({ seq: row.seq, at: row.atMs, hash: row.hash, text: Buffer.from(row.payload).toString('utf8') });
    }
    return entries.length > 0 ? { epoch: journal.epoch, entries } : undefined;
  }

  return {
    push,
    relinked() {
      outbox = relinked(outbox);
      push();
    },
    ack(message) {
      if (message.epoch !== journal.epoch) return undefined;
      const done = journal.acknowledge(message.upTo);
      if (!done.ok) return done.error;
      outbox = acknowledged(outbox, done.value, clock.monotonic(), random());
      push();
      return undefined;
    },
    again(asked) {
      const { from, end, lost } = lackedOf(asked);
      if (lost) sayLost(lost);
      const found = from <= end ? message(kept(from, Math.min(end, from + AGAIN - 1))) : undefined;
      if (found) say(found);
    },
    carry(most, again) {
      const batches: EntriesMessage[] = [];
      const lacked = again.map(lackedOf);
      let left = most;
      let more = false;
      for (const { from, end } of [...lacked, { from: journal.acknowledged() + 1, end: journal.last() }]) {
        let next = from;
        while (next <= end && left > 0) {
          const found = message(kept(next, Math.min(end, next + Math.min(AGAIN, left) - 1)));
          const to = found?.entries.at(-1)?.seq;
          if (!found || to === undefined) break;
          batches.push(found);
          left -= found.entries.length;
          next = to + 1;
        }
        more ||= left === 0 && next <= end;
      }
      return { batches, lost: lacked.flatMap((l) => l.lost ?? []), more };
    },
    get unsent() {
      return journal.last() - journal.acknowledged();
    },
    close() {
      closed = true;
      callOff();
    },
  };
}
