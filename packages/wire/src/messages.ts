import { z } from 'zod';

/** What goes over MQTT, as JSON. Unknown members are refused, so that both sides notice when they disagree. */

const revision = z.int().min(0);
const ms = z.int();
const id = z.string().min(1).max(100);

/** A journal entry on its way: `text` is the payload exactly as journalled, `hash` its place in the chain. */
export const wireEntry = z.strictObject({
  seq: z.int().min(1),
  at: ms,
  hash: z.string(),
  text: z.string().max(200_000),
});
export const entriesMessage = z.strictObject({ epoch: id, entries: z.array(wireEntry).min(1).max(500) });
/** Everything up to and with `upTo` of this epoch is committed at the hub; `set aside` ones are kept there but were not understood. */
export const ackMessage = z.strictObject({ epoch: id, upTo: z.int().min(0), setAside: z.array(z.int()) });

export const tankState = z.strictObject({
  tank: id,
  volume: z.int().nullable(),
  levelMm: z.number().nullable(),
  waterMm: z.number().nullable(),
  tempC: z.number().nullable(),
});
export const hoseState = z.strictObject({ hose: id, state: z.string(), reason: z.string().nullable() });
/** What a site says of itself: only this makes a revision count as running. Retained; the last will replaces it by `gone`. */
export const stateMessage = z.strictObject({
  at: ms,
  link: z.enum(['here', 'gone']),
  running: revision.nullable(),
  runningSince: ms.nullable(),
  delivered: revision.nullable(),
  refused: z.strictObject({ revision, code: z.string(), cause: z.string() }).nullable(),
  stale: z.boolean(),
  cutOff: z.boolean(),
  unsent: z.int().min(0),
  epoch: z.string(),
  version: z.string(),
  hoses: z.array(hoseState),
  tanks: z.array(tankState),
  /** The link is up, and yet the office has not said afresh for days what is wanted: somebody may hold its word back. */
  frozen: z.boolean().optional(),
  /** The oldest entry that the box still keeps, its last, and up to where it believes that the office has all. */
  journal: z.strictObject({ first: z.int().min(1), last: z.int().min(0), acknowledged: z.int().min(0) }).optional(),
});
/** The office lacks entries that it once acknowledged: send those after `after` up to `to` again. */
export const againMessage = z.strictObject({ epoch: id, after: z.int().min(0), to: z.int().min(1) });
/** The box no longer keeps these entries, both ends included. */
export const lostMessage = z.strictObject({ epoch: id, from: z.int().min(1), to: z.int().min(1) });
export const fetchMessage = z.strictObject({ revision });
export const gotMessage = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('stop'), id }),
  z.strictObject({ kind: z.literal('pins'), version: z.int() }),
  /** The office's key of this version is the one that the box goes by. */
  z.strictObject({ kind: z.literal('key'), version: z.int().min(1) }),
]);

/** The signed bundle as text: `signed` is canonical JSON, `signature` Ed25519 over its UTF-8, base64. */
export const signedText = z.strictObject({ signed: z.string(), signature: z.string() });
const wanted = { revision, digest: z.string(), bytes: z.int() };
/** What is wanted, and the same signed with when the office said so: what is not signed is a hint, not a fresh word. */
export const wantedMessage = z.strictObject({ ...wanted, notice: signedText.optional() });
export const wantedNotice = z.strictObject({ ...wanted, fleet: id, site: id, at: ms });
/** No bundle is larger, in bytes: a larger one is neither asked for nor read. */
export const MOST_BUNDLE_BYTES = 64 * 1024 * 1024;
/** The inside of an urgent stop: these credential numbers are refused from now on. Numbered per site; taken once. */
export const stopOrder = z.strictObject({
  id,
  site: id,
  at: ms,
  numbers: z.array(z.string()).max(1000),
  reason: z.string(),
});
/** PINs for one box: each sealed to the box's own key; `pin` null takes it away. `version` grows. */
export const pinsMessage = z.strictObject({
  version: z.int(),
  pins: z.array(z.strictObject({ driver: id, sealed: z.string().nullable() })),
});
/** Totals, not differences: what `site` has let this holder draw under this allowance on this local date. Taken by the largest `fills`. */
export const usageTotal = z.strictObject({
  site: id,
  holder: z.string(),
  allowance: id,
  date: z.string(),
  volume: z.int().min(0),
  fills: z.int().min(0),
});
export const usageMessage = z.strictObject({ at: ms, totals: z.array(usageTotal) });
/** The inside of the office's signed time. */
export const timeNotice = z.strictObject({ fleet: id, at: ms });

export type WireEntry = z.infer<typeof wireEntry>;
export type EntriesMessage = z.infer<typeof entriesMessage>;
export type AckMessage = z.infer<typeof ackMessage>;
export type StateMessage = z.infer<typeof stateMessage>;
export type TankState = z.infer<typeof tankState>;
export type HoseState = z.infer<typeof hoseState>;
export type WantedMessage = z.infer<typeof wantedMessage>;
export type SignedText = z.infer<typeof signedText>;
export type StopOrder = z.infer<typeof stopOrder>;
export type PinsMessage = z.infer<typeof pinsMessage>;
export type UsageTotal = z.infer<typeof usageTotal>;
export type UsageMessage = z.infer<typeof usageMessage>;
export type GotMessage = z.infer<typeof gotMessage>;
export type AgainMessage = z.infer<typeof againMessage>;
export type LostMessage = z.infer<typeof lostMessage>;
export type FetchMessage = z.infer<typeof fetchMessage>;
export type TimeNotice = z.infer<typeof timeNotice>;
