import { type SignedText, timeNotice, type WantedMessage, wantedNotice } from '@fillwright/wire';
import type { Expected } from '../bundles/check.ts';

/** What the office signs with its own moment; undefined where it did not, or to somebody else. */

/** When it said what a notice of the wanted revision says. */
export function noticedAt(text: SignedText, message: WantedMessage, expected: Expected): number | undefined {
  const read = wantedNotice.safeParse(expected.office.open(text));
  if (!read.success) return undefined;
  const { fleet, site, revision, at } = read.data;
  return fleet === expected.fleet && site === expected.site && revision === message.revision ? at : undefined;
}

/** What time it is at the office. */
export function toldTime(text: SignedText, expected: Expected): number | undefined {
  const read = timeNotice.safeParse(expected.office.open(text));
  return read.success && read.data.fleet === expected.fleet ? read.data.at : undefined;
}
