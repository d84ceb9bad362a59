import {
  type EntriesMessage,
  entriesMessage,
  fetchMessage,
  gotMessage,
  lostMessage,
  stateMessage,
  type UpKind,
} from '@fillwright/wire';
import type { Logger } from 'pino';
import type { z } from 'zod';
import type { App } from '../app.ts';
import { noteJournal, noteLost } from '../ledger/gaps.ts';
import { type Stored, storeEntries } from '../ledger/store-entries.ts';
import type { Greeted } from './greeted.ts';
import type { Sayings } from './say.ts';
import { noteGot, noteState } from './state.ts';
import { openStopsGot } from './stops-got.ts';

/** Takes in one message of a site. */
type Hear = (fleet: string, site: string, payload: Buffer) => Promise<void>;

export interface Hearing {
  readonly hear: Readonly<Record<UpKind, Hear>>;
  /** Stores entries and tells the desks of them; the site hears nothing. */
  readonly store: (fleet: string, site: string, message: EntriesMessage) => Promise<Stored>;
}

/** What the hub does with what it hears of sites. `keyTaken` hears that a box goes by a newer key of the office. */
export function hearing(
  app: App,
  say: Sayings,
  greeted: Greeted,
  log: Logger,
  keyTaken: () => Promise<unknown>,
): Hearing {
  const { db, now, tell } = app;
  const stopsGot = openStopsGot(db);

  const as =
    <S extends z.ZodType>(
      kind: UpKind,
      shape: S,
      take: (fleet: string, site: string, message: z.output<S>) => Promise<void>,
    ): Hear =>
    async (fleet, site, payload) => {
      // A kept state that is taken away comes as nothing.
      if (kind === 'state' && payload.length === 0) return;
      const message = read(shape, payload);
      if (message) await take(fleet, site, message);
      else log.warn({ fleet, site, kind }, 'a message that cannot be read');
    };

  const store: Hearing['store'] = async (fleet, site, message) => {
    const stored = await db.as(fleet, (tx) => storeEntries(tx, app.released, fleet, site, message, now()));
    say.usage(fleet, stored.usage);
    for (const id of stored.fills) tell(fleet, { kind: 'fill', id, site });
    if (stored.refusals > 0) tell(fleet, { kind: 'refusal', site });
    for (const tank of stored.tanks) tell(fleet, { kind: 'tank', tank });
    if (stored.setAside.length > 0) log.warn({ site, seqs: stored.setAside }, 'journal entries were set aside');
    return stored;
  };

  const entries = as('entries', entriesMessage, async (fleet, site, message) => {
    const { upTo, setAside, advanced } = await store(fleet, site, message);
    say.stored(fleet, site, { epoch: message.epoch, upTo, setAside: [...setAside] });
    if (advanced) await say.again(fleet, site, message.epoch);
  });
  const state = as('state', stateMessage, async (fleet, site, message) => {
    const here = message.link === 'here';
    await db.as(fleet, async (tx) => {
      await noteState(tx, fleet, site, message, now());
      if (here) await noteJournal(tx, fleet, site, message);
    });
    tell(fleet, { kind: 'site', site });
    if (!here) return greeted.forget(fleet, site);
    await greeted.once(fleet, site, () => say.greeting(fleet, site));
    await say.again(fleet, site, message.epoch);
  });
  const fetch = as('fetch', fetchMessage, async (fleet, site, message) => {
    const there = await say.bundle(fleet, site, message.revision);
    if (!there) log.warn({ site, message }, 'a bundle was asked for that is not there');
  });
  const lost = as('lost', lostMessage, async (fleet, site, message) => {
    const kept = await db.as(fleet, (tx) => noteLost(tx, fleet, site, message, now()));
    if (kept) log.warn({ fleet, site, ...message }, 'entries are gone at office and box alike');
    tell(fleet, { kind: 'site', site });
  });
  const got = as('got', gotMessage, async (fleet, site, message) => {
    if (message.kind === 'stop') {
      const isLast = await stopsGot.add(fleet, { site, stop: message.id, at: now() });
      tell(fleet, { kind: 'stop', id: message.id });
      if (isLast) say.noStop(fleet, site);
      return;
    }
    const isNews = await db.as(fleet, (tx) => noteGot(tx, fleet, site, message, now()));
    if (message.kind !== 'key' || !isNews) return;
    await keyTaken();
    await say.byNewKey(fleet, site);
  });
  return { hear: { entries, state, fetch, lost, got }, store };
}

function read<S extends z.ZodType>(shape: S, payload: Buffer): z.output<S> | undefined {
  try {
    const parsed = shape.safeParse(JSON.parse(payload.toString('utf8')));
    return parsed.success ? parsed.data : undefined;
  } catch {
    return undefined;
  }
}
