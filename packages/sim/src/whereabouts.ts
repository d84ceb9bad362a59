import { randomFrom } from './random.ts';

/** One of several yards that share a fleet's people and vehicles. */
export interface Place {
  /** From 0. */
  readonly number: number;
  readonly of: number;
}

const SPELL_MS = 2 * 3_600_000;
/** Nobody comes at the beginning and the end of a spell: long enough to drive from yard to yard, and to end the longest fill. */
const ON_THE_ROAD_MS = 15 * 60_000;
const LAST_FILL_MS = 30 * 60_000;

/**
 * Whether a driver or vehicle may come to a yard now. Everybody has one place for a spell of two hours, each spell beginning at a moment of their
 * own; it follows from the id and the time alone, so that yards in processes of their own agree on it. Common practice, no source.
 */
export function isHere(id: string, at: number, { number, of }: Place): boolean {
  if (of <= 1) return true;
  const since = at + randomFrom(`whereabouts/${id}`).whole(0, SPELL_MS - 1);
  const into = since % SPELL_MS;
  if (into < ON_THE_ROAD_MS || into > SPELL_MS - LAST_FILL_MS) return false;
  return randomFrom(`whereabouts/${id}/${Math.floor(since / SPELL_MS)}`).whole(0, of - 1) === number;
}
