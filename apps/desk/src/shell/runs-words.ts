import type { SiteStatus } from '@fillwright/wire';
import { plural } from '../show/amounts.ts';

/** 'Release 4 runs at 3 of 3 sites': calm where every site that a box has joined runs what is wanted of it, or nothing was released yet. */
export function runsWords(
  sites: readonly SiteStatus[],
  newest: number | undefined,
): { readonly calm: boolean; readonly words: string } {
  if (newest === undefined) return { calm: true, words: 'Nothing released yet' };
  const run = sites.filter((s) => s.running === newest).length;
  const behind = sites.some((s) => s.joined && s.wanted !== null && s.running !== s.wanted);
  return {
    calm: !behind,
    words: `Release ${newest} runs at ${run} of ${plural(sites.length, 'site')}`,
  };
}
