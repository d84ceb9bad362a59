import type { FlagInput, FlagKind, Found } from './flag.ts';
import { historyOf } from './history.ts';
import { FLAG_KINDS } from './kinds/index.ts';

export interface Flag extends Found {
  /** The code, what it speaks of first, and when: the same flag keeps its id while more fills come. */
  readonly id: string;
  readonly code: FlagKind['code'];
  readonly title: string;
  readonly reason: string;
  readonly next: string;
  readonly source: string;
}

/** Everything unusual from `since` on, newest first. Pure; the same input gives the same flags in any order of its fills. */
export function flags(input: FlagInput): Flag[] {
  const history = historyOf(input);
  return FLAG_KINDS.flatMap(({ find, ...kind }) =>
    [...find(history)]
      .filter((found) => found.at >= input.since)
      .map((found) => ({
        ...kind,
        ...found,
        id: `${kind.code}:${found.on[0]?.table}/${found.on[0]?.id}@${found.at}`,
      })),
  ).sort((a, b) => b.at - a.at || (a.id < b.id ? -1 : 1));
}
