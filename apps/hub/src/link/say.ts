import { type AckMessage, type SignedText, topics, type UsageTotal } from '@fillwright/wire';
import { signValue } from '@fillwright/wire/keys';
import type { App } from '../app.ts';
import { lacking } from '../ledger/gaps.ts';
import type { Line } from './line.ts';
import { bundleFor, noticeOf, pinsFor, stopsFor, usageSince, wantedFor } from './owed.ts';

/** A month, the week that began before it, and days to spare. */
const USAGE_REACH_MS = 45 * 86_400_000;
const TOTALS_A_MESSAGE = 1000;

export type Sayings = ReturnType<typeof sayings>;

/** What the hub says to the sites of a fleet; while there is no line it is not said. */
export function sayings({ db, keys, now }: App, line: () => Line | undefined) {
  const say: Line['say'] = (topic, value, how) => line()?.say(topic, value, how);

  const usage = (fleet: string, totals: readonly UsageTotal[]) => {
    for (let i = 0; i < totals.length; i += TOTALS_A_MESSAGE)
      say(topics.all(fleet, 'usage'), { at: now(), totals: totals.slice(i, i + TOTALS_A_MESSAGE) });
  };
  const time = (fleet: string) =>
    say(topics.all(fleet, 'time'), signValue({ fleet, at: now() }, keys.signing.privateKey), { qos: 0 });

  /** How the office's key was given on, where it ever was. */
  const officeKeys = (fleet: string, site: string) => {
    if (keys.told) say(topics.down(fleet, site, 'keys'), keys.told, { retain: true });
  };
  const wanted = async (fleet: string, site: string) => {
    const what = await db.as(fleet, (tx) => wantedFor(tx, fleet, site));
    if (what) say(topics.down(fleet, site, 'wanted'), noticeOf(keys, fleet, site, what, now()), { retain: true });
  };
  const stop = (fleet: string, site: string, order: SignedText) =>
    say(topics.down(fleet, site, 'stop'), order, { retain: true });
  const noStop = (fleet: string, site: string) => line()?.clear(topics.down(fleet, site, 'stop'));
  const stops = async (fleet: string, site: string) => {
    const orders = await db.as(fleet, (tx) => stopsFor(tx, keys, fleet, site));
    if (orders.length === 0) noStop(fleet, site);
    for (const order of orders) stop(fleet, site, order);
  };
  const pins = async (fleet: string, site: string) => {
    const sealed = await db.as(fleet, (tx) => pinsFor(tx, keys, fleet, site));
    if (sealed) say(topics.down(fleet, site, 'pins'), sealed, { retain: true });
  };
  /** Whether the revision is there. */
  const bundle = async (fleet: string, site: string, revision: number): Promise<boolean> => {
    const text = await db.as(fleet, (tx) => bundleFor(tx, keys, fleet, site, revision));
    if (text) say(topics.down(fleet, site, 'bundle'), text);
    return text !== undefined;
  };
  /** Only after COMMIT: from then on the site may forget the entries. */
  const stored = (fleet: string, site: string, ack: AckMessage) => say(topics.down(fleet, site, 'ack'), ack);
  /** Asks for what was acknowledged once and is no longer here: one batch, and the next when that is stored. */
  const again = async (fleet: string, site: string, epoch: string) => {
    const batch = await db.as(fleet, (tx) => lacking(tx, fleet, site, epoch));
    if (batch) say(topics.down(fleet, site, 'again'), batch);
  };

  /** All that a site is owed, when it comes. */
  const greeting = async (fleet: string, site: string) => {
    officeKeys(fleet, site);
    await wanted(fleet, site);
    await stops(fleet, site);
    await pins(fleet, site);
    // The time first: a box whose clock began anew keeps no totals of days that it takes for far away.
    time(fleet);
    usage(fleet, await db.as(fleet, (tx) => usageSince(tx, fleet, now() - USAGE_REACH_MS)));
  };
  /** What a site could not read by the key that it had. */
  const byNewKey = async (fleet: string, site: string) => {
    await wanted(fleet, site);
    await stops(fleet, site);
    time(fleet);
  };
  return { usage, time, officeKeys, wanted, stop, noStop, stops, pins, bundle, stored, again, greeting, byNewKey };
}
