import { z } from 'zod';
import { keysMessage } from './handover.ts';
import {
  ackMessage,
  againMessage,
  entriesMessage,
  gotMessage,
  lostMessage,
  pinsMessage,
  signedText,
  stateMessage,
  usageMessage,
  wantedMessage,
} from './messages.ts';

/**
 * What goes by hand where there is no link, as files of signed text: the same messages as over the link, taken with the same checks. The office
 * signs what goes to a site, the box what comes from it, so that a stick that was lost or tampered with changes nothing.
 */
const head = { fleet: z.string().min(1).max(100), site: z.string().min(1).max(100), at: z.int() };

export const toSite = z.strictObject({
  form: z.literal('fillwright-to-site'),
  ...head,
  messages: z
    .array(
      z.discriminatedUnion('kind', [
        z.strictObject({ kind: z.literal('wanted'), value: wantedMessage }),
        z.strictObject({ kind: z.literal('bundle'), value: signedText }),
        z.strictObject({ kind: z.literal('stop'), value: signedText }),
        z.strictObject({ kind: z.literal('pins'), value: pinsMessage }),
        z.strictObject({ kind: z.literal('usage'), value: usageMessage }),
        z.strictObject({ kind: z.literal('ack'), value: ackMessage }),
        z.strictObject({ kind: z.literal('again'), value: againMessage }),
      ]),
    )
    .max(10_000),
});

/** A file for a site, as it lies on a stick. How the key was given on stands outside: whoever holds an older key must be able to follow it first. */
export const stickFile = z.strictObject({ ...signedText.shape, keys: keysMessage.optional() });

export const fromSite = z.strictObject({
  form: z.literal('fillwright-from-site'),
  ...head,
  /** What the box said of the file for it that lay on the stick; null where it took it. */
  refused: z.strictObject({ code: z.string(), cause: z.string() }).nullable(),
  state: stateMessage,
  got: z.array(gotMessage).max(10_000),
  /** What the office asked for again comes first, then what it has not acknowledged. */
  entries: z.array(entriesMessage).max(1_000),
  /** What the office asked for again and the box keeps no more. */
  lost: z.array(lostMessage).max(1_000).optional(),
  /** The journal holds more than one file takes: the rest comes once these are acknowledged. */
  more: z.boolean(),
});

export const stickTaken = z.strictObject({
  site: z.string(),
  at: z.int().describe('when the box wrote the file'),
  entries: z.int().describe('entries in the file'),
  upTo: z.int().describe('the last entry up to which the office has all'),
  setAside: z.int(),
  more: z.boolean(),
  refused: z.strictObject({ code: z.string(), cause: z.string() }).nullable(),
});

/** How a file is called, so that it is found on a stick that carries those of several sites. */
export const stickNames = {
  to: (site: string) => `for-${site}.fillwright.json`,
  from: (site: string) => `from-${site}.fillwright.json`,
} as const;

export type ToSite = z.infer<typeof toSite>;
export type StickFile = z.infer<typeof stickFile>;
export type FromSite = z.infer<typeof fromSite>;
export type StickTaken = z.infer<typeof stickTaken>;
