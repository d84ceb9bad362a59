import type { StateMessage } from '@fillwright/wire';

/** What is known of a site that was told to run a release. */
export interface Told {
  readonly site: string;
  readonly said: Pick<StateMessage, 'running' | 'refused'> | null;
  readonly link: string;
  readonly linkSince: number | null;
  /** Since when it has said that it runs the release; null before. */
  readonly ranSince: number | null;
  readonly joined: boolean;
  /** People refused under the release, and in as long a time before it ran. */
  readonly refusals: number;
  readonly refusalsBefore: number;
}

/** A box that is gone for longer after it was told counts as lost: common practice, no source. */
export const LOST_MS = 10 * 60_000;
/** So many refusals more than twice those before are no chance: common practice, no source. */
const REFUSALS_TO_SPARE = 5;

/** Why a release must not go further, in words; undefined where nothing speaks against it. Silence is never a good sign, but no stop. */
export function stopRule(release: number, t: Told, now: number): string | undefined {
  if (t.said?.refused?.revision === release)
    return t.said.refused.code === 'FW-307'
      ? `${t.site} decides otherwise than expected: its proof failed.`
      : `${t.site} refused it or fell back from it: ${t.said.refused.cause}`;
  if (t.ranSince !== null && t.said !== null && (t.said.running ?? 0) < release)
    return `${t.site} ran it and runs ${t.said.running ?? 'nothing'} again.`;
  if (t.ranSince !== null && t.link === 'gone' && t.linkSince !== null && now - t.linkSince > LOST_MS)
    return `${t.site} has been gone for more than ${LOST_MS / 60_000} minutes since it runs it.`;
  if (t.refusals > 2 * t.refusalsBefore + REFUSALS_TO_SPARE)
    return `${t.site} refused ${t.refusals} times since it runs it; ${t.refusalsBefore} times in as long before.`;
  return undefined;
}

/** Every box of the wave has run it for long enough. A wave in which no box stands proves nothing. */
export const provenWave = (wave: readonly Told[], bakeMs: number, now: number): boolean => {
  const boxes = wave.filter((t) => t.joined);
  return boxes.length > 0 && boxes.every((t) => t.ranSince !== null && t.link === 'here' && now - t.ranSince >= bakeMs);
};
