import {
  type AckMessage,
  type EntriesMessage,
  entriesMessage,
  fetchMessage,
  gotMessage,
  lostMessage,
  parseUpTopic,
  type SignedText,
  stateMessage,
  topics,
  type UsageTotal,
} from '@fillwright/wire';
import { signValue } from '@fillwright/wire/keys';
import type { Logger } from 'pino';
import type { z } from 'zod';
import type { App } from '../app.ts';
import { lacking, noteJournal, noteLost } from '../ledger/gaps.ts';
import { type Stored, storeEntries } from '../ledger/store-entries.ts';
import type { Line } from './line.ts';
import { bundleFor, noticeOf, pinsFor, stopsFor, usageSince, wantedFor } from './owed.ts';
import { noteGot, noteState } from './state.ts';
import { openStopsGot } from './stops-got.ts';

const TIME_EVERY_MS = 20_000;
/** A box minds when it has heard none for three days. */
const AFRESH_EVERY_MS = 6 * 3_600_000;
/** A month, the week that began before it, and days to spare. */
const USAGE_REACH_MS = 45 * 86_400_000;
const TOTALS_A_MESSAGE = 1000;

/** What the hub says to sites and hears from them. */
export interface Link {
  heard(topic: string, payload: Buffer): Promise<void>;
  /** Stores entries of a site's journal as if its box had sent them, and tells of them; what a box would have been answered. */
  take(fleet: string, site: string, message: EntriesMessage): Promise<Stored>;
  /** A box has signed in at the embedded broker: what it is owed is sent when it next speaks. */
  came(fleet: string, site: string): void;
  /** The line to the broker is open, for the first time or again. */
  opened(): void;
  /** How the office's key was given on, where it ever was. */
  sendKeys(fleet: string, site: string): void;
  sendWanted(fleet: string, site: string): Promise<void>;
  sendStops(fleet: string, site: string): Promise<void>;
  /** One order that has just been kept: it waits for no look into the database. */
  sayStop(fleet: string, site: string, order: SignedText): void;
  sendPins(fleet: string, site: string): Promise<void>;
  /** Acknowledges what is stored, once it is committed. */
  sayStored(fleet: string, site: string, ack: AckMessage): void;
  stop(): Promise<void>;
}

/** `keyTaken` hears that a box goes by a newer key of the office. */
export function openLink(app: App, line: () => Line | undefined, log: Logger, keyTaken: () => Promise<unknown>): Link {
  const { db, now } = app;
  /** Sites that have been sent what they are owed since they last came. */
  const greeted = new Set<string>();
  const queues = new Map<string, Promise<void>>();
  const stopsGot = openStopsGot(db);
  const keyOf = (fleet: string, site: string) => `${fleet}/${site}`;
  const say: Line['say'] = (topic, value, how) => line()?.say(topic, value, how);

  const sayUsage = (fleet: string, totals: readonly UsageTotal[]) => {
    for (let i = 0; i < totals.length; i += TOTALS_A_MESSAGE)
      say(topics.all(fleet, 'usage'), { at: now(), totals: totals.slice(i, i + TOTALS_A_MESSAGE) });
  };

  const sendWanted = async (fleet: string, site: string) => {
    const wanted = await db.as(fleet, (tx) => wantedFor(tx, fleet, site));
    if (!wanted) return;
    say(topics.down(fleet, site, 'wanted'), noticeOf(app.keys, fleet, site, wanted, now()), { retain: true });
  };
  const sendStops = async (fleet: string, site: string) => {
    const topic = topics.down(fleet, site, 'stop');
    const orders = await db.as(fleet, (tx) => stopsFor(tx, app.keys, fleet, site));
    if (orders.length === 0) line()?.clear(topic);
    for (const order of orders) say(topic, order, { retain: true });
  };
  const sendPins = async (fleet: string, site: string) => {
    const pins = await db.as(fleet, (tx) => pinsFor(tx, app.keys, fleet, site));
    if (pins) say(topics.down(fleet, site, 'pins'), pins, { retain: true });
  };
  const sayTime = (fleet: string) =>
    say(topics.all(fleet, 'time'), signValue({ fleet, at: now() }, app.keys.signing.privateKey), { qos: 0 });
  const sendKeys = (fleet: string, site: string) => {
    const { told } = app.keys;
    if (told) say(topics.down(fleet, site, 'keys'), told, { retain: true });
  };
  const greet = async (fleet: string, site: string) => {
    sendKeys(fleet, site);
    await sendWanted(fleet, site);
    await sendStops(fleet, site);
    await sendPins(fleet, site);
    // The time first: a box whose clock began anew keeps no totals of days that it takes for far away.
    sayTime(fleet);
    sayUsage(fleet, await db.as(fleet, (tx) => usageSince(tx, fleet, now() - USAGE_REACH_MS)));
  };

  const greetByKey = async (fleet: string, site: string) => {
    await keyTaken();
    await sendWanted(fleet, site);
    await sendStops(fleet, site);
    sayTime(fleet);
  };

  /** Asks for what was acknowledged once and is no longer here: one batch, and the next when that is stored. */
  const askAgain = async (fleet: string, site: string, epoch: string) => {
    const again = await db.as(fleet, (tx) => lacking(tx, fleet, site, epoch));
    if (again) say(topics.down(fleet, site, 'again'), again);
  };

  const store = async (fleet: string, site: string, message: EntriesMessage): Promise<Stored> => {
    const stored = await db.as(fleet, (tx) => storeEntries(tx, app.released, fleet, site, message, now()));
    sayUsage(fleet, stored.usage);
    for (const id of stored.fills) app.tell(fleet, { kind: 'fill', id, site });
    if (stored.refusals > 0) app.tell(fleet, { kind: 'refusal', site });
    for (const tank of stored.tanks) app.tell(fleet, { kind: 'tank', tank });
    if (stored.setAside.length > 0) log.warn({ site, seqs: stored.setAside }, 'journal entries were set aside');
    return stored;
  };

  const takeEntries = async (fleet: string, site: string, message: EntriesMessage) => {
    const stored = await store(fleet, site, message);
    // Only now, after COMMIT, may the site forget them.
    say(topics.down(fleet, site, 'ack'), { epoch: message.epoch, upTo: stored.upTo, setAside: stored.setAside });
    if (stored.advanced) await askAgain(fleet, site, message.epoch);
  };

  const take = async (fleet: string, site: string, kind: string, payload: Buffer): Promise<void> => {
    if (kind === 'entries') {
      const message = read(entriesMessage, payload);
      if (!message) return unread(fleet, site, kind);
      await takeEntries(fleet, site, message);
      return;
    }
    if (kind === 'state') {
      const message = read(stateMessage, payload);
      if (!message) return payload.length > 0 ? unread(fleet, site, kind) : undefined;
      await db.as(fleet, async (tx) => {
        await noteState(tx, fleet, site, message, now());
        if (message.link === 'here') await noteJournal(tx, fleet, site, message);
      });
      app.tell(fleet, { kind: 'site', site });
      if (message.link === 'gone') greeted.delete(keyOf(fleet, site));
      else if (!greeted.has(keyOf(fleet, site))) {
        greeted.add(keyOf(fleet, site));
        await greet(fleet, site);
      }
      if (message.link === 'here') await askAgain(fleet, site, message.epoch);
      return;
    }
    if (kind === 'fetch') {
      const message = read(fetchMessage, payload);
      const bundle = message && (await db.as(fleet, (tx) => bundleFor(tx, app.keys, fleet, site, message.revision)));
      if (bundle) say(topics.down(fleet, site, 'bundle'), bundle);
      else log.warn({ site, message }, 'a bundle was asked for that is not there');
      return;
    }
    if (kind === 'lost') {
      const message = read(lostMessage, payload);
      if (!message) return unread(fleet, site, kind);
      const kept = await db.as(fleet, (tx) => noteLost(tx, fleet, site, message, now()));
      if (kept) log.warn({ fleet, site, ...message }, 'entries are gone at office and box alike');
      app.tell(fleet, { kind: 'site', site });
      return;
    }
    const message = read(gotMessage, payload);
    if (!message) return unread(fleet, site, kind);
    if (message.kind === 'stop') {
      const isLast = await stopsGot.add(fleet, { site, stop: message.id, at: now() });
      app.tell(fleet, { kind: 'stop', id: message.id });
      if (isLast) line()?.clear(topics.down(fleet, site, 'stop'));
      return;
    }
    const taken = await db.as(fleet, (tx) => noteGot(tx, fleet, site, message, now()));
    if (message.kind === 'key') {
      // What it could not read by the key that it had is said anew.
      if (taken) await greetByKey(fleet, site);
    }
  };
  const unread = (fleet: string, site: string, kind: string) =>
    log.warn({ fleet, site, kind }, 'a message that cannot be read');

  const time = setInterval(() => {
    for (const fleet of new Set([...greeted].map((key) => key.slice(0, key.indexOf('/'))))) sayTime(fleet);
  }, TIME_EVERY_MS).unref();

  // A word that is never said afresh cannot be told from one that somebody holds back.
  const afresh = setInterval(() => {
    for (const key of greeted) {
      const [fleet, site] = key.split('/') as [string, string];
      sendWanted(fleet, site).catch((cause) => log.error(cause, 'what is wanted could not be said afresh'));
    }
  }, AFRESH_EVERY_MS).unref();

  return {
    take: store,
    heard(topic, payload) {
      const from = parseUpTopic(topic);
      if (!from) return Promise.resolve();
      // One site's messages keep their order; sites do not wait for each other.
      const key = keyOf(from.fleet, from.site);
      const before = queues.get(key) ?? Promise.resolve();
      const work = before.then(() => take(from.fleet, from.site, from.kind, payload));
      const quiet = work
        .catch(() => undefined)
        .then(() => {
          if (queues.get(key) === quiet) queues.delete(key);
        });
      queues.set(key, quiet);
      return work;
    },
    came: (fleet, site) => {
      greeted.delete(keyOf(fleet, site));
    },
    // Every site is greeted anew at its next word: what it already has, it takes again without harm.
    opened: () => greeted.clear(),
    sendKeys,
    sendWanted,
    sendStops,
    sayStop: (fleet, site, order) => say(topics.down(fleet, site, 'stop'), order, { retain: true }),
    sendPins,
    sayStored: (fleet, site, ack) => say(topics.down(fleet, site, 'ack'), ack),
    async stop() {
      clearInterval(time);
      clearInterval(afresh);
      await Promise.all(queues.values());
    },
  };
}

function read<S extends z.ZodType>(shape: S, payload: Buffer): z.output<S> | undefined {
  try {
    const parsed = shape.safeParse(JSON.parse(payload.toString('utf8')));
    return parsed.success ? parsed.data : undefined;
  } catch {
    return undefined;
  }
}
