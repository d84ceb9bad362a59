import { type Policy, Tally, type Usage } from '@fillwright/core/decide';
import { err, ok, type Problem, ProblemError, type Result } from '@fillwright/core/errors';
import { type Entry, type EntryRef, entrySchema, fillIdOf, type Placed } from '@fillwright/core/island';
import { localMoment } from '@fillwright/core/units';
import type { JournalPort } from '@fillwright/journal';
import type { StopOrder, UsageTotal } from '@fillwright/wire';
import type { LockRule } from '../pins/tries.ts';
import type { Absorbed } from './absorb.ts';
import { Drawn } from './drawn.ts';
import { Fills } from './fills.ts';
import { PinTries } from './pins.ts';
import { LastReadings } from './readings.ts';
import { Stops } from './stops.ts';

/** Opens or begins the journal of a box. */
export type JournalOpener = (whose: {
  readonly box: string;
  readonly newEpoch: () => string;
}) => Result<JournalPort, Problem>;

export interface RecordOptions {
  readonly box: string;
  readonly site: string;
  readonly now: () => number;
  readonly randomId: () => string;
  readonly openJournal: JournalOpener;
  /** The policy that runs; undefined before the first bundle. */
  readonly policy: () => Policy | undefined;
}

const DAY_MS = 86_400_000;

/** An entry of an older program may be one that this one does not know: it is passed over. */
function read(payload: Uint8Array): Entry | undefined {
  const found = entrySchema.safeParse(JSON.parse(Buffer.from(payload).toString('utf8')));
  return found.success ? found.data : undefined;
}
const LACKS = 'officeLacks';
const HEARD_EVERY_MS = 60_000;
const ROOM_BYTES = 65_536;

/**
 * Everything that this box must not forget: the journal, and beside it what follows from its entries (what was drawn, readings, tries,
 * open fills, stopped cards). Each entry is written together with what follows from it, or neither is.
 */
export class SiteRecord {
  readonly journal: JournalPort;
  readonly readings: LastReadings;
  readonly tries: PinTries;
  fills = new Fills();
  stops = new Stops();
  #drawn: Drawn;
  #tally: Tally;
  readonly #options: RecordOptions;
  #day = 0;
  /** The day for which the totals in reach were read last. */
  #readFor: number | undefined;

  constructor(options: RecordOptions, journal: JournalPort) {
    this.#options = options;
    this.journal = journal;
    const get = (key: string) => journal.get(key);
    this.#tally = this.#newTally();
    this.#drawn = this.#newDrawn();
    this.readings = new LastReadings({ get, kindOf: (id) => options.policy()?.fleet.questions.get(id)?.kind });
    this.tries = new PinTries(get, () => this.lockRule());
    this.#load();
  }

  /** Reads what the journal holds; when a policy runs, so that the calendar is known, and when the journal was opened anew. */
  begin(): void {
    this.#tally = this.#newTally();
    this.#drawn = this.#newDrawn();
    this.#load();
    this.#day = this.#today();
    this.#read(this.#day);
    for (const open of this.fills.kept.open) this.#drawn.reopen(open.fill, open.authorised);
  }

  /** How many wrong PINs lock a driver here, and for how long. */
  lockRule(): LockRule {
    const row = this.#options.policy()?.sites.get(this.#options.site)?.row;
    return { tries: row?.pinTries ?? 3, lockMin: row?.pinLock ?? 30 };
  }

  /** Durable, with all that follows from it, when it returns ok. */
  append(entry: Entry): Result<EntryRef, Problem> {
    if (this.journal.refusal) return err(this.journal.refusal);
    const ref = { epoch: this.journal.epoch, seq: this.journal.last() + 1 };
    try {
      const fill = fillIdOf(this.#options.site, ref);
      const writes: Record<string, string | undefined> = { latest: String(Math.max(entry.at, this.latest)) };
      const follows: Absorbed[] = [];
      for (const part of [this.#drawn, this.fills, this.readings, this.tries]) {
        const absorbed = part.absorb(entry, fill, ref.seq);
        if (!absorbed) continue;
        follows.push(absorbed);
        Object.assign(writes, absorbed.writes);
      }
      const written = this.journal.setWith(writes, JSON.stringify(entry), entry.at);
      if (!written.ok) return written;
      for (const a of follows) a.commit();
      return ok({ epoch: ref.epoch, seq: written.value.seq });
    } catch (error) {
      if (error instanceof ProblemError) return err(error.problem);
      throw error;
    }
  }

  /** Whether the last entry is this one, to the letter. */
  endsWith(entry: Entry): boolean {
    const last = this.journal.last();
    const [row] = this.journal.entries(last, last);
    return row !== undefined && Buffer.from(row.payload).toString('utf8') === JSON.stringify(entry);
  }

  usage(cutOff: boolean): Usage {
    // Somebody set the clock, or it was the network: what is kept of the right day has not been read by the wrong one.
    const today = this.#today();
    if (today !== this.#readFor) this.#read(today);
    return {
      cutOff,
      used: (holder, allowance, site, at) => this.#tally.used(holder, allowance, site, at),
      lastReading: (vehicle, kind) => this.readings.last(vehicle, kind),
    };
  }

  hearUsage(totals: readonly UsageTotal[]): Result<void, Problem> {
    try {
      // By a clock that runs far ahead, the days that count would be too old to keep; before the office has told the time, none is.
      return this.#keep(this.#drawn.hear(totals, Math.min(this.#today(), this.#today(this.toldAt))));
    } catch (error) {
      if (error instanceof ProblemError) return err(error.problem);
      throw error;
    }
  }

  /** Stops the numbers of an order, each with an entry; those that are stopped already are passed over. */
  takeStop(order: StopOrder, at: number, nameOf: (number: string) => string): Result<readonly string[], Problem> {
    const numbers = this.stops.newIn(order);
    if (numbers.length === 0) return ok(numbers);
    const by = order.reason.slice(0, 200);
    const taken = this.stops.take(order, numbers);
    const told = this.journal.appendAll(
      numbers.map((number) => ({
        payload: JSON.stringify({ kind: 'cardStopped', at, credential: nameOf(number), by } satisfies Entry),
        atMs: at,
      })),
      taken.writes,
    );
    if (!told.ok) return told;
    taken.commit();
    return ok(numbers);
  }

  releaseStops(issuedAt: number): Result<void, Problem> {
    const under = this.stops.under(issuedAt);
    return under ? this.#keep(under) : ok(undefined);
  }

  /** The latest moment that any entry was written at; 0 when there is none. */
  get latest(): number {
    return Number(this.journal.get('latest') ?? 0);
  }
  /** The office said that the clock had run ahead. */
  setLatest(at: number): void {
    this.journal.set('latest', String(at));
  }

  /** The office has lost what came after `after`, as one that was restored from a backup: nothing of it is let go of meanwhile. */
  officeLacks(epoch: string, after: number): void {
    if (epoch === this.journal.epoch && this.journal.get(LACKS) !== String(after))
      this.journal.set(LACKS, String(after));
  }
  /** The office has everything up to `upTo`. */
  officeHas(epoch: string, upTo: number): void {
    if (epoch !== this.journal.epoch || upTo < this.journal.acknowledged()) return;
    if (this.journal.get(LACKS) !== undefined) this.journal.set(LACKS, undefined);
  }

  /** When the office said, signed, what is wanted; undefined where it never has. */
  get noticeAt(): number | undefined {
    const kept = this.journal.get('noticeAt');
    return kept === undefined ? undefined : Number(kept);
  }
  noticed(at: number): void {
    if (at !== this.noticeAt) this.journal.set('noticeAt', String(at));
  }

  /** When the file was made that was carried here and taken last; 0 where none was. */
  get carriedAt(): number {
    return Number(this.journal.get('carriedAt') ?? 0);
  }
  carried(at: number): void {
    if (at !== this.carriedAt) this.journal.set('carriedAt', String(at));
  }

  /** The latest moment that the office has told, signed; kept at most once a minute. */
  get toldAt(): number {
    return Number(this.journal.get('toldAt') ?? 0);
  }
  /** When the office was last heard, by the wall clock; kept at most once a minute. */
  get heardAt(): number {
    return Number(this.journal.get('heardAt') ?? 0);
  }
  /** The office told that it is `told`, and the clock here showed `heard`: one write for both. */
  heard(told: number, heard: number): void {
    const writes: Record<string, string> = {};
    if (Math.abs(told - this.toldAt) >= HEARD_EVERY_MS) writes.toldAt = String(told);
    if (Math.abs(heard - this.heardAt) >= HEARD_EVERY_MS) writes.heardAt = String(heard);
    if (Object.keys(writes).length > 0) this.journal.setAll(writes);
  }

  /** Entries from `from` on, in order, each with its place. */
  since(from: number): Placed[] {
    return this.journal.entries(from, this.journal.last()).flatMap((row) => {
      const entry = read(row.payload);
      return entry ? [{ entry, ref: { epoch: this.journal.epoch, seq: row.seq } }] : [];
    });
  }

  /** Entries from the newest back, as long as `each` wants more. */
  backwards(each: (entry: Entry, seq: number) => boolean): void {
    const first = this.journal.anchor().seq + 1;
    for (let to = this.journal.last(); to >= first; to -= 500) {
      for (const row of this.journal.entries(Math.max(first, to - 499), to).reverse()) {
        const entry = read(row.payload);
        if (entry && !each(entry, row.seq)) return;
      }
    }
  }

  /** Tries whether the journal can be written again, and with room to spare, so that it does not fail at the next entry. */
  reopen(): boolean {
    const { journal } = this;
    return journal.reopen().ok && journal.set('room', ' '.repeat(ROOM_BYTES)).ok && journal.set('room', undefined).ok;
  }

  /** Lets go of acknowledged entries that at `now` are older than `keepDays` and of totals that no period asks for. */
  tidy(keepDays: number, now: number): void {
    const today = this.#today(now);
    if (today !== this.#day) {
      this.#day = today;
      this.journal.setAll(this.#drawn.forget(today));
    }
    const lacks = this.journal.get(LACKS);
    const bound = Math.min(this.journal.acknowledged(), lacks === undefined ? Number.POSITIVE_INFINITY : Number(lacks));
    this.journal.trim(bound, now - keepDays * DAY_MS);
  }

  #read(today: number): void {
    this.#readFor = today;
    this.#drawn.load(today);
  }
  #load(): void {
    this.fills = new Fills();
    this.fills.load(this.journal.get('fills'));
    this.stops = new Stops();
    this.stops.load(this.journal.get('stops'));
  }

  #zone() {
    return this.#options.policy()?.sites.get(this.#options.site)?.zone;
  }
  #newTally(): Tally {
    return new Tally((site) => (site === this.#options.site ? this.#zone() : undefined));
  }
  #newDrawn(): Drawn {
    const get = (key: string) => this.journal.get(key);
    return new Drawn({ site: this.#options.site, zone: () => this.#zone(), tally: this.#tally, get });
  }

  #today(at = this.#options.now()): number {
    const zone = this.#zone();
    return zone ? localMoment(zone, at).day : Math.floor(at / DAY_MS);
  }

  #keep(absorbed: Absorbed): Result<void, Problem> {
    if (Object.keys(absorbed.writes).length > 0) {
      const written = this.journal.setAll(absorbed.writes);
      if (!written.ok) return written;
    }
    absorbed.commit();
    return ok(undefined);
  }
}

/** Opens or begins the journal of this box. An epoch is named by when the journal began and a little chance. */
export function openRecord(options: RecordOptions): Result<SiteRecord, Problem> {
  const opened = options.openJournal({
    box: options.box,
    newEpoch: () => `${Math.floor(options.now() / 1000).toString(36)}-${options.randomId().slice(0, 4)}`,
  });
  if (!opened.ok) return opened;
  try {
    return ok(new SiteRecord(options, opened.value));
  } catch (error) {
    opened.value.close();
    if (error instanceof ProblemError) return err(error.problem);
    throw error;
  }
}
