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
  const { spell, into } = spellOf(id, at);
  if (into < ON_THE_ROAD_MS || into > SPELL_MS - LAST_FILL_MS) return false;
  return randomFrom(`whereabouts/${id}/${spell}`).whole(0, of - 1) === number;
}

function spellOf(id: string, at: number): { readonly spell: number; readonly into: number } {
  const since = at + randomFrom(`whereabouts/${id}`).whole(0, SPELL_MS - 1);
  return { spell: Math.floor(since / SPELL_MS), into: since % SPELL_MS };
}

/** One spell in so many a vehicle wants fuel: a few times a day. Common practice, no source. */
const WANTS_ONE_IN = 3;
const MOST_SPELLS = 12;

/**
 * Whether a vehicle wants fuel in its spell, and then since when it has not: the beginning, ms UTC, of the last spell in which it did, a day before
 * at most. Follows from the id and the time alone, like its place. Null where it wants none.
 */
export function thirstySince(id: string, at: number): number | null {
  const { spell, into } = spellOf(id, at);
  const wants = (n: number) => randomFrom(`thirst/${id}/${n}`).whole(0, WANTS_ONE_IN - 1) === 0;
  if (!wants(spell)) return null;
  let last = spell - 1;
  while (last > spell - MOST_SPELLS && !wants(last)) last--;
  return at - into - (spell - last) * SPELL_MS;
}
