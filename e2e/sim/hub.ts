import type { Fleet } from '@fillwright/core/fleet';
import type { Entry, EntryOf } from '@fillwright/core/island';
import { formatDate, localMoment } from '@fillwright/core/units';
import type { Random, VirtualClock } from '@fillwright/sim';
import { bundleOf } from '@fillwright/site';
import {
  type AckMessage,
  type EntriesMessage,
  fetchMessage,
  lostMessage,
  parseUpTopic,
  type SignedText,
  stateMessage,
  topics,
  type UsageTotal,
} from '@fillwright/wire';
import { digestOf, seal } from '@fillwright/wire/keys';
import type { Broker } from './broker.ts';
import { FLEET, PINS, zoneOf } from './fleet.ts';
import type { Signatures } from './signatures.ts';
import type { Trace } from './trace.ts';

/**
 * The office as a model: it stores each entry once by (site, epoch, sequence number), keeps what clashes beside it, and acknowledges after
 * its commit. The real one is SQL and has tests of its own; here it stands for its promises, so that the boxes can be held to theirs.
 */
export interface Stored {
  readonly hash: string;
  readonly entry: Entry;
}
interface Books {
  /** site/epoch -> sequence number -> entry. */
  readonly journals: Map<string, Map<number, Stored>>;
  readonly upTo: Map<string, number>;
  /** Up to where the box believes that the office has all. */
  readonly claimed: Map<string, number>;
  /** What is gone from both, by the box's own word: site/epoch -> sequence numbers. */
  readonly lost: Map<string, ReadonlySet<number>>;
  /** Entries that came under a number that another had: site/epoch/seq/hash. */
  readonly aside: Set<string>;
  readonly running: Map<string, number | null>;
  readonly usage: Map<string, UsageTotal>;
  /** Fills that have been charged. */
  readonly charged: Set<string>;
}

export interface SimHub {
  readonly books: Books;
  readonly wanted: number;
  readonly clashes: number;
  /** Revisions that no box may run, by what is wrong with them. */
  readonly poisoned: ReadonlySet<number>;
  release(kind: 'good' | 'poisoned', fleet: Fleet): void;
  stopCard(number: string, id: string): void;
  faults: { down: boolean; crashBeforeCommit: number; crashBeforeAck: number };
  backUp(): void;
  restore(): void;
  /** Whether it ever committed this entry, also before it was restored. */
  committed(site: string, epoch: string, seq: number, hash: string): boolean;
}

export interface SimHubOptions {
  readonly clock: VirtualClock;
  readonly random: Random;
  readonly broker: Broker;
  readonly trace: Trace;
  readonly sites: readonly string[];
  readonly signatures: Signatures;
  readonly sealKeys: ReadonlyMap<string, string>;
}

/** Within the quarter of an hour after which a site counts as cut off. */
const TIME_EVERY_MS = 10 * 60_000;
const emptyBooks = (): Books => ({
  journals: new Map(),
  upTo: new Map(),
  claimed: new Map(),
  lost: new Map(),
  aside: new Set(),
  running: new Map(),
  usage: new Map(),
  charged: new Set(),
});
const copied = (b: Books): Books => ({
  journals: new Map([...b.journals].map(([k, v]) => [k, new Map(v)])),
  upTo: new Map(b.upTo),
  claimed: new Map(b.claimed),
  lost: new Map(b.lost),
  aside: new Set(b.aside),
  running: new Map(b.running),
  usage: new Map(b.usage),
  charged: new Set(b.charged),
});

export function simHub(options: SimHubOptions): SimHub {
  const { clock, random, broker, trace, signatures } = options;
  let books = emptyBooks();
  let backup: Books | undefined;
  let wanted = 0;
  let clashes = 0;
  /** Of each journal, whatever was committed under a number, also before a restore. */
  const ever = new Map<string, Map<number, string[]>>();
  const poisoned = new Set<number>();
  const bundles = new Map<string, SignedText>();
  const stops = new Map<string, SignedText>();
  const faults = { down: false, crashBeforeCommit: 0, crashBeforeAck: 0 };
  const line = broker.line('hub', (topic, payload) => {
    if (!faults.down) hear(topic, payload);
  });
  const dial = () => {
    if (!line.up) line.dial([(topic) => topic.includes('/up/')]);
  };
  const say = (topic: string, value: unknown, retain = false) => {
    if (!faults.down) line.say(topic, value === '' ? '' : JSON.stringify(value), retain);
  };
  const greeted = new Set<string>();

  const sealed = new Map<string, { driver: string; sealed: string }[]>();
  function sealedFor(site: string) {
    const sealKey = options.sealKeys.get(site) ?? '';
    let list = sealed.get(site);
    if (!list) {
      list = Object.entries(PINS).map(([driver, pin]) => ({ driver, sealed: seal(pin, sealKey) }));
      sealed.set(site, list);
    }
    return list;
  }
  function greet(site: string): void {
    if (wanted > 0) say(topics.down(FLEET, site, 'wanted'), { revision: wanted, digest: '', bytes: 1 }, true);
    for (const [key, order] of stops)
      if (key.startsWith(`${site}/`)) say(topics.down(FLEET, site, 'stop'), order, true);
    say(topics.down(FLEET, site, 'pins'), { version: 1, pins: sealedFor(site) }, true);
    say(topics.all(FLEET, 'time'), signatures.sign({ fleet: FLEET, at: Math.floor(clock.now()) }));
    say(topics.all(FLEET, 'usage'), { at: Math.floor(clock.now()), totals: [...books.usage.values()] });
  }

  function store(site: string, payload: string): void {
    // Its form is looked at where it is written (`entryIn`).
    const message = JSON.parse(payload) as EntriesMessage;
    const key = `${site}/${message.epoch}`;
    if (random.chance(faults.crashBeforeCommit)) {
      trace.note('hub crash before commit', key);
      return;
    }
    const journal = books.journals.get(key) ?? new Map<number, Stored>();
    books.journals.set(key, journal);
    const known = ever.get(key) ?? new Map<number, string[]>();
    ever.set(key, known);
    const usage: UsageTotal[] = [];
    for (const { seq, hash, text } of message.entries) {
      const before = journal.get(seq);
      const hashes = known.get(seq);
      if (!hashes) known.set(seq, [hash]);
      else if (!hashes.includes(hash)) hashes.push(hash);
      if (!before) {
        const entry = JSON.parse(text) as Entry;
        journal.set(seq, { hash, entry });
        if (entry.kind === 'ended') charge(site, message.epoch, journal, entry, usage);
      } else if (before.hash !== hash && !books.aside.has(`${key}/${seq}/${hash}`)) {
        books.aside.add(`${key}/${seq}/${hash}`);
        clashes++;
        trace.note('clash', `${key}/${seq}`);
      }
    }
    const before = books.upTo.get(key) ?? 0;
    const upTo = goOn(key);
    if (random.chance(faults.crashBeforeAck)) {
      trace.note('hub crash before ack', key);
      return;
    }
    say(topics.down(FLEET, site, 'ack'), { epoch: message.epoch, upTo, setAside: [] } satisfies AckMessage);
    if (upTo > before) askAgain(site, message.epoch);
    if (usage.length > 0) say(topics.all(FLEET, 'usage'), { at: Math.floor(clock.now()), totals: usage });
  }
  /** Up to where it has everything, or knows that it is gone. */
  function goOn(key: string): number {
    let upTo = books.upTo.get(key) ?? 0;
    while (books.journals.get(key)?.has(upTo + 1) || books.lost.get(key)?.has(upTo + 1)) upTo++;
    books.upTo.set(key, upTo);
    return upTo;
  }
  function takeLost(site: string, payload: string): void {
    const { epoch, from, to } = lostMessage.parse(JSON.parse(payload));
    const key = `${site}/${epoch}`;
    const journal = books.journals.get(key);
    const gone = Array.from({ length: to - from + 1 }, (_, i) => from + i).filter((seq) => !journal?.has(seq));
    trace.note('lost for good', `${key} ${gone.length}`);
    books.lost.set(key, new Set([...(books.lost.get(key) ?? []), ...gone]));
    const upTo = goOn(key);
    say(topics.down(FLEET, site, 'ack'), { epoch, upTo, setAside: [] } satisfies AckMessage);
    askAgain(site, epoch);
  }
  /** What was acknowledged once and is no longer here, as after a restore. */
  function askAgain(site: string, epoch: string): void {
    const key = `${site}/${epoch}`;
    const after = books.upTo.get(key) ?? 0;
    const claimed = books.claimed.get(key) ?? 0;
    if (after >= claimed) return;
    const next = [...(books.journals.get(key)?.keys() ?? [])].reduce(
      (n, s) => (s > after ? Math.min(n, s) : n),
      claimed + 1,
    );
    say(topics.down(FLEET, site, 'again'), { epoch, after, to: Math.min(claimed, next - 1) });
  }
  function charge(
    site: string,
    epoch: string,
    journal: ReadonlyMap<number, Stored>,
    ended: EntryOf<'ended'>,
    usage: UsageTotal[],
  ): void {
    const authorised = journal.get(Number(ended.fill.slice(`${site}.${epoch}.`.length)))?.entry;
    if (authorised?.kind !== 'authorised' || books.charged.has(ended.fill)) return;
    books.charged.add(ended.fill);
    if (ended.ul === 0) return;
    const date = formatDate(localMoment(zoneOf(site), authorised.at).day);
    for (const { holder, allowance } of authorised.charged) {
      const id = [site, holder, allowance, date].join('/');
      const before = books.usage.get(id);
      const total: UsageTotal = {
        site,
        holder,
        allowance,
        date,
        volume: (before?.volume ?? 0) + ended.ul,
        fills: (before?.fills ?? 0) + 1,
      };
      books.usage.set(id, total);
      usage.push(total);
    }
  }

  function hear(topic: string, payload: string): void {
    const from = parseUpTopic(topic);
    if (!from) return;
    const { site, kind } = from;
    if (kind === 'entries') store(site, payload);
    else if (kind === 'lost') takeLost(site, payload);
    else if (kind === 'fetch') {
      const { revision } = fetchMessage.parse(JSON.parse(payload));
      const bundle = bundles.get(`${site}/${revision}`);
      if (bundle) say(topics.down(FLEET, site, 'bundle'), bundle);
    } else if (kind === 'state') {
      const said = stateMessage.parse(JSON.parse(payload));
      if (said.link === 'gone') {
        greeted.delete(site);
        return;
      }
      books.running.set(site, said.running);
      const key = `${site}/${said.epoch}`;
      books.claimed.set(key, Math.max(books.claimed.get(key) ?? 0, said.journal?.acknowledged ?? 0));
      if (!greeted.has(site)) {
        greeted.add(site);
        greet(site);
      }
      askAgain(site, said.epoch);
    }
  }

  dial();
  const keepDialling = () => {
    greeted.clear();
    if (!line.up) dial();
    if (!line.up) clock.after(5_000, keepDialling);
  };
  line.broken = () => {
    greeted.clear();
    clock.after(5_000, keepDialling);
  };
  const time = () => {
    say(topics.all(FLEET, 'time'), signatures.sign({ fleet: FLEET, at: Math.floor(clock.now()) }));
    clock.after(TIME_EVERY_MS, time);
  };
  time();

  return {
    get books() {
      return books;
    },
    get wanted() {
      return wanted;
    },
    get clashes() {
      return clashes;
    },
    poisoned,
    faults,
    release(kind, fleet) {
      wanted++;
      if (kind === 'poisoned') poisoned.add(wanted);
      for (const site of options.sites) {
        const now = Math.floor(clock.now());
        const good = bundleOf(fleet, { fleet: FLEET, site, revision: wanted, parent: null, now });
        const proof = good.proof.map((p, i) => (i === 0 ? { ...p, approved: !p.approved } : p));
        // A hub that decides otherwise than the box: the digest holds, the decisions differ.
        const bundle = kind === 'good' ? good : { ...good, ...redigested(good, proof) };
        bundles.set(`${site}/${wanted}`, signatures.sign(bundle));
        say(topics.down(FLEET, site, 'wanted'), { revision: wanted, digest: '', bytes: 1 }, true);
      }
    },
    stopCard(number, id) {
      for (const site of options.sites) {
        const order = { id, site, at: Math.floor(clock.now()), numbers: [number], reason: 'lost' };
        const text = signatures.sign(order);
        stops.set(`${site}/${id}`, text);
        say(topics.down(FLEET, site, 'stop'), text, true);
      }
    },
    backUp() {
      backup = copied(books);
    },
    restore() {
      if (backup) books = copied(backup);
      greeted.clear();
    },
    committed: (site, epoch, seq, hash) => ever.get(`${site}/${epoch}`)?.get(seq)?.includes(hash) ?? false,
  };
}

function redigested(good: ReturnType<typeof bundleOf>, proof: unknown) {
  return { proof, digests: { ...good.digests, proof: digestOf(proof) } };
}
