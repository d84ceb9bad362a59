import { type Entry, type EntryOf, entrySchema, fillIdOf } from '@fillwright/core/island';
import { formatDate, localMoment } from '@fillwright/core/units';
import type { UsageTotal } from '@fillwright/wire';
import type { JournalRows } from './disk.ts';
import { clauseOf, PER_DAY, PER_FILL, SHARE, zoneOf } from './fleet.ts';
import type { SimHub } from './hub.ts';

/** What must hold whatever happens; each has a name that a failure is told by. Written apart from the code that they watch. */
export const INVARIANTS = {
  'acknowledged is committed': 'no box holds an entry for acknowledged that the office has not committed',
  'each fill once': 'a fill ends once at the office, and every fill of a journal is there',
  'quantity is pulses': 'what the office has of a hose, fills and alarms together, is what its counter counted',
  'durable before armed': 'no hose is armed without an open authorisation of that stop count on the disk',
  'within the limit': 'nothing flows beyond the limit of the authorisation and the declared lag of the valve',
  'running is reported': 'the office names only what a box has run, and in the end what it runs',
  'counters hold': 'a site grants no more than the day leaves, and cut off no more than the clause says',
  'no clock, no fuel': 'nothing is authorised by a clock before anything was built or behind the journal',
  'never an older one': 'no box takes a revision at or below one that it has run, nor a poisoned one',
  'attempt before compare': 'a PIN is compared only when its attempt is on the disk',
  'all comes home': 'when all is mended, everything that a box wrote is at the office',
  'no fault of the program': 'the program does not fall over by itself',
  'the chain holds': 'every journal is whole, and what is beside it follows from its entries',
} as const;
export type Invariant = keyof typeof INVARIANTS;

export class Broken extends Error {
  readonly invariant: Invariant;
  constructor(invariant: Invariant, found: string) {
    super(`${invariant}: ${found}`);
    this.invariant = invariant;
  }
}

export function must(holds: boolean, invariant: Invariant, found: () => string): void {
  if (!holds) throw new Broken(invariant, found());
}

const parsed = new WeakMap<Uint8Array, Entry>();
export function entryIn(payload: Uint8Array): Entry {
  let entry = parsed.get(payload);
  if (!entry) {
    entry = entrySchema.parse(JSON.parse(Buffer.from(payload).toString('utf8'))) as Entry;
    parsed.set(payload, entry);
  }
  return entry;
}

export type Authorised = EntryOf<'authorised'>;

/** The newest authorisation of a hose that no later entry ends. */
export function openFillOf(rows: JournalRows, site: string, hose: string): Authorised | undefined {
  const over = new Set<string>();
  for (let i = rows.entries.length - 1; i >= 0; i--) {
    const row = rows.entries[i];
    if (!row) continue;
    const entry = entryIn(row.payload);
    if (entry.kind === 'ended') over.add(entry.fill);
    if (entry.kind === 'authorised' && entry.hose === hose)
      return over.has(fillIdOf(site, { epoch: rows.epoch, seq: row.seq })) ? undefined : entry;
  }
  return undefined;
}

const NEVER_BEFORE = Date.UTC(2026, 0, 1);

/** Holds what each site drew by its own journal, naively, and checks every authorisation as it is written. */
export class Counters {
  readonly #site: string;
  #seen = 0;
  #latest = 0;
  readonly #open = new Map<string, Authorised>();
  readonly #drawn = new Map<string, number>();
  /** Totals of other sites that the box has heard and could keep. */
  readonly #heard = new Map<string, UsageTotal>();
  constructor(site: string) {
    this.#site = site;
  }

  hears(t: UsageTotal): void {
    const key = `${t.site}/${t.allowance.slice('for-'.length)}/${t.date}`;
    const before = this.#heard.get(key);
    if (!before || t.fills > before.fills) this.#heard.set(key, t);
  }

  #key(driver: string, at: number): string {
    return `${driver}/${formatDate(localMoment(zoneOf(this.#site), at).day)}`;
  }

  /** Takes what is new on the disk; gives the new entries. `heardMsAgo`: since the office was last heard. */
  read(rows: JournalRows, heardMsAgo: number): readonly Entry[] {
    const fresh = rows.entries.slice(Math.max(0, this.#seen - rows.anchor));
    this.#seen = rows.last;
    return fresh.map((row) => {
      const entry = entryIn(row.payload);
      const id = fillIdOf(this.#site, { epoch: rows.epoch, seq: row.seq });
      if (entry.kind === 'authorised') this.#authorised(entry, id, heardMsAgo);
      else if (entry.kind === 'ended') this.#ended(entry);
      else if (entry.kind === 'clock') this.#latest = Math.min(this.#latest, entry.is);
      this.#latest = Math.max(this.#latest, entry.at);
      return entry;
    });
  }

  #authorised(a: Authorised, id: string, heardMsAgo: number): void {
    must(a.at >= NEVER_BEFORE && a.at >= this.#latest - 60_000, 'no clock, no fuel', () => `${id} at ${a.at}`);
    const driver = a.driver ?? '';
    const key = this.#key(driver, a.at);
    let own = this.#drawn.get(key) ?? 0;
    for (const o of this.#open.values()) if (o.driver === driver && this.#key(driver, o.at) === key) own += o.limitUl;
    let left = PER_DAY - own;
    for (const [from, t] of this.#heard) if (from.endsWith(`/${key}`)) left -= t.volume;
    if (heardMsAgo > 15 * 60_000 + 1_000)
      must(a.cutOff, 'counters hold', () => `${id} not cut off after ${heardMsAgo} ms`);
    const clause = clauseOf(driver);
    if (a.cutOff && clause === 'decline') must(false, 'counters hold', () => `${id} granted though cut off`);
    if (a.cutOff && clause === 'share') left = Math.floor((Math.max(0, left) * SHARE) / 100);
    must(
      a.limitUl <= Math.min(PER_FILL, left),
      'counters hold',
      () => `${id} grants ${a.limitUl}, ${left} left for ${key}`,
    );
    this.#open.set(id, a);
  }

  #ended(e: EntryOf<'ended'>): void {
    const a = this.#open.get(e.fill);
    if (!a) return;
    this.#open.delete(e.fill);
    const key = this.#key(a.driver ?? '', a.at);
    this.#drawn.set(key, (this.#drawn.get(key) ?? 0) + e.ul);
  }
}

/** More than noise ever moves a counter back. */
const NO_NOISE = 20;

/** What an alarm may mean for the sum of a hose: what it says moved, or what a counter that began anew has counted from zero. */
function meanings(
  { alarm, hose = '', pulses = 0, count = 0 }: EntryOf<'alarm'>,
  lostMemory: (hose: string) => boolean,
) {
  if (alarm !== 'counterReset' || !lostMemory(hose)) return [pulses];
  return pulses < -NO_NOISE ? [count] : [pulses, count];
}

/**
 * What the office has of each hose: every fill once, and what alarms tell of. A count that is found lower than it was may have begun anew or
 * run back; a box that was off cannot tell, a yard whose counter never lost its memory can. A counter that fell by a few pulses may have done
 * either: then there is more than one sum.
 */
export function pulsesAtOffice(
  hub: SimHub,
  site: string,
  lostMemory: (hose: string) => boolean,
): ReadonlyMap<string, readonly number[]> {
  const sums = new Map<string, readonly number[]>();
  const add = (hose: string, any: readonly number[]) =>
    sums.set(hose, [...new Set((sums.get(hose) ?? [0]).flatMap((sum) => any.map((pulses) => sum + pulses)))]);
  for (const [key, journal] of hub.books.journals) {
    if (!key.startsWith(`${site}/`)) continue;
    const ended = new Map<string, EntryOf<'ended'>>();
    for (const [, { entry }] of [...journal].sort(([a], [b]) => a - b)) {
      if (entry.kind === 'alarm' && entry.hose !== undefined) add(entry.hose, meanings(entry, lostMemory));
      if (entry.kind !== 'ended') continue;
      const before = ended.get(entry.fill);
      must(!before || before.pulses === entry.pulses, 'each fill once', () => `${entry.fill} ended twice, otherwise`);
      if (before) continue;
      ended.set(entry.fill, entry);
      add(entry.hose, [entry.pulses]);
    }
    for (const [seq, { entry }] of journal)
      if (entry.kind === 'authorised') {
        const id = fillIdOf(site, { epoch: key.slice(site.length + 1), seq });
        must(ended.has(id), 'each fill once', () => `${id} has no end at the office`);
      }
  }
  return sums;
}
